/** The shelf's cards, each made anew only when its ink, a file or a calibration that it speaks of has changed. */
import { randomUUID } from 'node:crypto';
import { setImmediate } from 'node:timers/promises';
import type { InkCard, Shelf, ShelfChanges } from '../backend/api.ts';
import type { Measuring } from '../jobs/measuring.ts';
import type { InkDocument } from '../library/document.ts';
import type { InkRow } from '../library/inkShelf.ts';
import type { Library } from '../library/library.ts';
import { inkCardOf } from './workOf.ts';

interface Held {
  readonly card: InkCard;
  readonly revision: number;
  /** Files that the ink's work rests on, and calibrations by their keys: both may go wrong without a change of the ink. */
  readonly files: readonly string[];
  readonly calibrations: readonly string[];
  /** What was wrong with them when the card was made. */
  readonly wrong: string;
  /** Counts all changes of all cards. */
  readonly changed: number;
}

type WrongOf = (of: Pick<Held, 'files' | 'calibrations'>) => string;

/** How long cards are made before others have their turn. */
const WARM_MS = 15;

export class ShelfCards {
  readonly #library: Library;
  readonly #measuring: Measuring;
  /** Stamps of another start of the program say nothing here. */
  readonly #start = randomUUID();
  #held = new Map<number, Held>();
  #changes = 0;
  #names: Pick<Shelf, 'papers' | 'nibs'> | null = null;

  constructor(library: Library, measuring: Measuring) {
    this.#library = library;
    this.#measuring = measuring;
  }

  async shelf(): Promise<Shelf> {
    await this.#warm();
    const inks = this.#cards().map(({ card }) => card);
    return { stamp: this.#stamp(), inks, ...this.#papersAndNibs(), removed: this.#library.removedInks() };
  }

  /** @param stamp of an earlier answer; one that is not known here makes all cards new. */
  async changesSince(stamp: string): Promise<ShelfChanges> {
    await this.#warm();
    const cards = this.#cards();
    const [start, count] = stamp.split('/');
    const seen = start === this.#start ? Number(count) : -1;
    return {
      stamp: this.#stamp(),
      order: cards.map(({ card }) => card.id),
      changed: cards.filter(({ changed }) => !(changed <= seen)).map(({ card }) => card),
      ...this.#papersAndNibs(),
      removed: this.#library.removedInks(),
    };
  }

  /** The first cards of a start are some milliseconds each: pictures and whatever else is asked for are answered between them. */
  async #warm(): Promise<void> {
    for (;;) {
      const cold = this.#library.inks().filter(({ id }) => !this.#held.has(id));
      if (cold.length === 0) return;
      const wrongOf = this.#look();
      const from = performance.now();
      for (const row of cold) {
        this.#held.set(row.id, this.#made(row, wrongOf));
        if (performance.now() - from > WARM_MS) break;
      }
      this.#names = null;
      await setImmediate();
    }
  }

  #look(): WrongOf {
    const fileProblem = onceEach((hash) => this.#library.fileProblem(hash));
    const calibrationProblem = (key: string): string | null => this.#measuring.calibrationProblem(key);
    return ({ files, calibrations }) => JSON.stringify([files.map(fileProblem), calibrations.map(calibrationProblem)]);
  }

  #cards(): readonly Held[] {
    const rows = this.#library.inks();
    const wrongOf = this.#look();
    const before = this.#held;
    const cards = rows.map((row) => {
      const held = before.get(row.id);
      if (held && held.revision === row.revision && held.wrong === wrongOf(held)) return held;
      return this.#made(row, wrongOf);
    });
    // Whoever was taken off changes nothing but the order; papers and nibs may have gone with it.
    if (cards.length !== before.size || cards.some((card) => before.get(card.card.id) !== card)) this.#names = null;
    this.#held = new Map(cards.map((held) => [held.card.id, held]));
    return cards;
  }

  #made(row: InkRow, wrongOf: WrongOf): Held {
    const { card, standing } = inkCardOf(this.#library, this.#measuring, row);
    const files = filesOf(standing.document);
    const calibrations = standing.targets.map(({ key }) => key);
    const { revision } = row;
    return { card, revision, files, calibrations, wrong: wrongOf({ files, calibrations }), changed: ++this.#changes };
  }

  #papersAndNibs(): Pick<Shelf, 'papers' | 'nibs'> {
    this.#names ??= { papers: this.#library.papers(), nibs: this.#library.nibs() };
    return this.#names;
  }

  #stamp(): string {
    return `${this.#start}/${this.#changes}`;
  }
}

function filesOf({ scans, target }: InkDocument): string[] {
  const targets = [target, ...scans.map((scan) => scan.target)].flatMap((t) => (t ? [t.layout, t.reference] : []));
  return [...new Set([...scans.map(({ hash }) => hash), ...targets])];
}

function onceEach<T>(look: (key: string) => T): (key: string) => T {
  const seen = new Map<string, T>();
  return (key) => {
    const known = seen.get(key);
    if (known !== undefined) return known;
    const found = look(key);
    seen.set(key, found);
    return found;
  };
}
