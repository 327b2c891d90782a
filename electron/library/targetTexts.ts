/** Layouts and references of the store, each parsed once however often it is asked for. */
import type { TargetLayout, TargetReference } from '../../analysis/calibrate/calibration.ts';
import { parseLayout } from '../sheet/layout.ts';
import { parseReference } from '../sheet/reference.ts';
import type { FileStore } from './fileStore.ts';
import { LibraryError } from './libraryError.ts';
import type { StoredFile } from './storedFile.ts';

export interface NamedReference {
  /** Its file's name, for messages. */
  readonly name: string;
  readonly reference: TargetReference;
}

export class TargetTexts {
  private readonly files: FileStore;
  private readonly layouts = new Map<string, TargetLayout>();
  private readonly references = new Map<string, NamedReference>();

  constructor(files: FileStore) {
    this.files = files;
  }

  /** Null: no layout of this content is here. @throws LibraryError 'no-such-file' when its file is gone from the store. */
  layout(hash: string): TargetLayout | null {
    return this.once(hash, 'layout', this.layouts, (text, name) => parseLayout(text, name));
  }

  /** Null: no reference of this content is here. @throws LibraryError 'no-such-file' when its file is gone from the store. */
  reference(hash: string): NamedReference | null {
    return this.once(hash, 'reference', this.references, (text, name) => ({
      name,
      reference: parseReference(text, name),
    }));
  }

  private once<T>(
    hash: string,
    kind: StoredFile['kind'],
    parsed: Map<string, T>,
    parse: (text: string, name: string) => T,
  ): T | null {
    const file = this.files.file(hash);
    if (file?.kind !== kind || file.problem !== null) return null;
    // Also of what is known by heart: a target must not work here that will not go out with the sheet.
    const problem = this.files.problem(hash);
    if (problem !== null) throw new LibraryError('no-such-file', problem);
    const known = parsed.get(hash) ?? parse(this.files.text(hash), file.name);
    parsed.set(hash, known);
    return known;
  }
}
