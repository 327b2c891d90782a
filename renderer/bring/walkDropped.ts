/** All files of a drop or a paste; folders are walked through. */
import type { BroughtFile } from './broughtFile.ts';

/** Call it at once in the event's handler: the browser takes the drop back afterwards. */
export function filesOf(transfer: DataTransfer): Promise<readonly BroughtFile[]> {
  const entries = [...transfer.items].flatMap((item) => {
    const entry = item.kind === 'file' ? item.webkitGetAsEntry() : null;
    return entry ? [entry] : [];
  });
  if (entries.length === 0) {
    return Promise.resolve([...transfer.files].map((file) => ({ name: file.name, file })));
  }
  return Promise.all(entries.map(walk)).then((lists) => lists.flat());
}

/** Of a file input; a folder's files carry their place in it. */
export function filesIn(input: HTMLInputElement): readonly BroughtFile[] {
  return [...(input.files ?? [])].map((file) => ({ name: file.webkitRelativePath || file.name, file }));
}

/** One that cannot be read takes none of the others with it. */
async function walk(entry: FileSystemEntry): Promise<readonly BroughtFile[]> {
  const name = entry.fullPath.replace(/^\//, '');
  try {
    if (isFile(entry)) {
      const file = await new Promise<File>((resolve, reject) => {
        entry.file(resolve, reject);
      });
      return [{ name, file }];
    }
    return isFolder(entry) ? await walkFolder(entry) : [];
  } catch {
    return [{ name, file: null }];
  }
}

async function walkFolder(entry: FileSystemDirectoryEntry): Promise<readonly BroughtFile[]> {
  const reader = entry.createReader();
  const found: FileSystemEntry[] = [];
  // A reader hands out a hundred or so at a time, and nothing when it is through.
  for (;;) {
    const some = await new Promise<FileSystemEntry[]>((resolve, reject) => {
      reader.readEntries(resolve, reject);
    });
    if (some.length === 0) break;
    found.push(...some);
  }
  return (await Promise.all(found.map(walk))).flat();
}

function isFile(entry: FileSystemEntry): entry is FileSystemFileEntry {
  return entry.isFile;
}

function isFolder(entry: FileSystemEntry): entry is FileSystemDirectoryEntry {
  return entry.isDirectory;
}
