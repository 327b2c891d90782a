/** The targets that a sheet names, as a document knows them. */
import { posix } from 'node:path';
import { BUILT_IN_LAYOUTS } from '../sheet/layout.ts';
import type { Sheet, SheetTarget } from '../sheet/sheetSchema.ts';
import type { DocumentScan, DocumentTarget } from './document.ts';
import type { Library } from './library.ts';
import { plainPath } from './sheetFiles.ts';
import type { SheetFiles } from './sheetFiles.ts';
import { uniqueName } from './uniqueName.ts';

/** A target's scan that the sheet does not list becomes a scan of the document. */
export class SheetTargets {
  private readonly library: Library;
  private readonly sheet: Sheet;
  private readonly files: SheetFiles;
  /** Grows by targets' own scans. */
  private readonly scans: DocumentScan[];
  private readonly idOf: (id: string) => string;

  constructor(library: Library, sheet: Sheet, files: SheetFiles, scans: DocumentScan[], idOf: (id: string) => string) {
    this.library = library;
    this.sheet = sheet;
    this.files = files;
    this.scans = scans;
    this.idOf = idOf;
  }

  async find(
    { scan, layout, reference, pointsMm, white }: SheetTarget,
    own: string | undefined,
  ): Promise<DocumentTarget | null> {
    const id = this.scan(scan ?? own ?? '', 'target');
    // Without its white sheet a target is another calibration, but one: the person is told and goes on.
    const whiteId = white === undefined ? null : this.scan(white, 'white sheet');
    const layoutHash = await this.layout(layout);
    const referenceHash = this.files.find(reference, 'reference', 'target')?.hash;
    if (id === null || layoutHash === null || referenceHash === undefined) return null;
    return {
      scan: id,
      layout: layoutHash,
      reference: referenceHash,
      ...(pointsMm && { pointsMm }),
      ...(whiteId !== null && { white: whiteId }),
    };
  }

  private scan(name: string, as: 'target' | 'white sheet'): string | null {
    const listed = this.sheet.scans.find(({ id }) => id === name);
    if (listed) {
      const id = this.idOf(listed.id);
      return this.scans.some((scan) => scan.id === id) ? id : null;
    }
    const file = this.files.find(name, 'scan', as);
    if (!file) return null;
    const before = this.scans.find(({ hash }) => hash === file.hash);
    if (before) return before.id;
    const taken = ['all', ...this.sheet.scans.map(({ id }) => this.idOf(id)), ...this.scans.map(({ id }) => id)];
    const id = uniqueName(as, taken);
    this.scans.push({ id, hash: file.hash, name: posix.basename(plainPath(name)) });
    return id;
  }

  private async layout(name: string): Promise<string | null> {
    const builtIn = BUILT_IN_LAYOUTS.get(name);
    if (!builtIn) return this.files.find(name, 'layout', 'target')?.hash ?? null;
    const bytes = new TextEncoder().encode(JSON.stringify(builtIn, null, 2));
    return (await this.library.addFile(once(bytes), `${name}.json`)).hash;
  }
}

async function* once(bytes: Uint8Array): AsyncGenerator<Uint8Array> {
  yield bytes;
}
