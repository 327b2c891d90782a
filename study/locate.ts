/** Targets found by themselves over random scenes (tests/locate/randomScene.ts): found, misplaced, refused, and how far off. */
import { knownTarget, TARGET_NAMES, type TargetName } from '../tests/locate/knownTargets.ts';
import { locateDrawn, worstMissMm } from '../tests/locate/locateDrawn.ts';
import { randomScene, type Scene, type SceneCase } from '../tests/locate/randomScene.ts';

/** Worse is misplaced, mm: patches are read over their inner 60 %, and the smallest are 2.6 mm broad. */
const MISPLACED_MM = 0.5;

interface Outcome {
  readonly target: TargetName;
  readonly kind: SceneCase;
  readonly code: string;
  /** null: none was found, or there was none. */
  readonly missMm: number | null;
}

/** Six kinds in turn, so that every target sees each of them equally often. */
const KINDS: readonly SceneCase[] = ['plain', 'cluttered', 'covered', 'mirrored', 'two', 'none'];
const RIGHT: Readonly<Record<SceneCase, readonly string[]>> = {
  plain: ['found'],
  cluttered: ['found'],
  covered: ['found'],
  mirrored: ['target-mirrored'],
  two: ['targets-two'],
  none: ['target-not-found', 'target-unsure'],
};

export function locateStudy(scenes: number, firstSeed: number): string {
  const outcomes: Outcome[] = [];
  for (let k = 0; k < scenes; k++) {
    const target = TARGET_NAMES[k % TARGET_NAMES.length];
    const kind = KINDS[Math.floor(k / TARGET_NAMES.length) % KINDS.length];
    const scene = randomScene(target, kind, firstSeed + Math.floor(k / (TARGET_NAMES.length * KINDS.length)));
    outcomes.push(outcomeOf(scene));
  }
  const rows = TARGET_NAMES.flatMap((target) =>
    KINDS.map((kind) =>
      row(
        target,
        kind,
        outcomes.filter((o) => o.target === target && o.kind === kind),
      ),
    ),
  );
  return [
    '# Targets found by themselves: random scenes',
    '',
    `Made by \`npm run study locate ${scenes}\`: ${scenes} scenes from seed ${firstSeed} on, which nothing was tuned on. Each has its own device`,
    '(tone curve, white, cast, strength of colour), bed, turn (a third near a quarter turn), size, stretch, perspective, blur, noise and uneven light, at 150 to 300 dpi;',
    '_cluttered_ and the kinds below it with pages of writing, ruled and squared paper, coins, dark things and painted swatches beside and below.',
    '_covered_: a disc of the card taken away or half covered, an outer row or column of a grid covered whole. _none_: no target at all.',
    `Right is found within ${MISPLACED_MM} mm, or refused for the right reason. The error is that of the worst of the four points.`,
    '',
    '| target | scenes | n | right | misplaced | refused wrongly | found wrongly | median error, mm | 95th percentile | largest |',
    '| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |',
    ...rows,
    '',
  ].join('\n');
}

function outcomeOf(scene: Scene): Outcome {
  const { layout, known } = knownTarget(scene.target);
  const found = locateDrawn(scene.scan, layout, known);
  const outcome: Outcome =
    'problem' in found
      ? { target: scene.target, kind: scene.kind, code: found.code, missMm: null }
      : {
          target: scene.target,
          kind: scene.kind,
          code: 'found',
          missMm: scene.drawn === null ? null : worstMissMm(found, scene.drawn.pointsPx, scene.scan.dpi),
        };
  if (!isRight(outcome)) {
    console.log(
      `${scene.words}: ${'problem' in found ? found.problem : `found, ${outcome.missMm?.toFixed(2)} mm off`}`,
    );
  }
  return outcome;
}

function isRight({ kind, code, missMm }: Outcome): boolean {
  return RIGHT[kind].includes(code) && (missMm === null || missMm < MISPLACED_MM);
}

function row(target: TargetName, kind: SceneCase, outcomes: readonly Outcome[]): string {
  const right = outcomes.filter(isRight).length;
  const due = RIGHT[kind].includes('found');
  const found = outcomes.filter(({ code }) => code === 'found');
  const misplaced = due ? found.filter((o) => !isRight(o)).length : 0;
  const foundWrongly = due ? 0 : found.length;
  const refused = outcomes.length - right - misplaced - foundWrongly;
  const misses = due ? found.flatMap(({ missMm }) => (missMm === null ? [] : [missMm])).toSorted((a, b) => a - b) : [];
  const at = (share: number): string =>
    misses.length === 0 ? '—' : misses[Math.min(misses.length - 1, Math.floor(share * misses.length))].toFixed(3);
  const counts = [outcomes.length, right, misplaced, refused, foundWrongly].join(' | ');
  return `| ${target} | ${kind} | ${counts} | ${at(0.5)} | ${at(0.95)} | ${at(1)} |`;
}
