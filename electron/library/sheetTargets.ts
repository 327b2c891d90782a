/** The targets that a sheet names, as a document knows them. */
import { posix } from 'node:path';
import type { Sheet, SheetTarget } from '../sheet/sheetSchema.ts';
import { type BuiltInFile, BUILT_IN_LAYOUT_FILES, BUILT_IN_REFERENCE_FILES, bytesOnce } from './builtInFiles.ts';
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
    const layoutHash = await this.file(layout, 'layout', BUILT_IN_LAYOUT_FILES);
    const referenceHash = await this.file(reference, 'reference', BUILT_IN_REFERENCE_FILES);
    if (id === null || layoutHash === null || referenceHash === null) return null;
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

  /** What is built in goes into the store by its content, as if it had come with the sheet. */
  private async file(
    name: string,
    kind: 'layout' | 'reference',
    builtIn: readonly BuiltInFile[],
  ): Promise<string | null> {
    const own = builtIn.find((file) => file.name === name);
    if (!own) return this.files.find(name, kind, 'target')?.hash ?? null;
    return (await this.library.addFile(bytesOnce(own.bytes), own.fileName)).hash;
  }
}
