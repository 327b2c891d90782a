/** Keys of a page: bound while it is on screen, and listed in the help sheet. */
import { useEffect, useRef, useSyncExternalStore } from 'react';
import { matchesKeys } from './keyNames.ts';

export interface KeyBinding {
  /** 'm', 'Ctrl+Z', '?', 'ArrowLeft'; several parted by ' / '. */
  readonly keys: string;
  /** What it does, in words: 'measure what is not up to date'. */
  readonly does: string;
  /** Absent: bound elsewhere (a list's own arrows), listed only. */
  readonly run?: (event: KeyboardEvent) => void;
  /** For keys that work while they are held down; called with true, then false. */
  readonly hold?: (down: boolean) => void;
}

export interface KeyGroup {
  readonly group: string;
  readonly bindings: readonly KeyBinding[];
}

const groups = new Set<{ current: KeyGroup }>();
const listeners = new Set<() => void>();
let listed: readonly KeyGroup[] = [];
let heldDown: { readonly key: string; readonly hold: (down: boolean) => void } | null = null;

/** Registers keys for as long as the calling component is on screen; the latest registered wins. */
export function useKeys(group: string, bindings: readonly KeyBinding[]): void {
  const latest = useRef<KeyGroup>({ group, bindings });
  useEffect(() => {
    const before = latest.current;
    latest.current = { group, bindings };
    if (groups.has(latest) && wordsOf(before) !== wordsOf(latest.current)) tell();
  });
  useEffect(() => {
    groups.add(latest);
    if (groups.size === 1) listen();
    tell();
    return () => {
      groups.delete(latest);
      if (groups.size === 0) stopListening();
      tell();
    };
  }, []);
}

/** All keys that work now. */
export function useKeyGroups(): readonly KeyGroup[] {
  return useSyncExternalStore(
    (listener) => {
      listeners.add(listener);
      return () => {
        listeners.delete(listener);
      };
    },
    () => listed,
  );
}

/** Groups of one name as one, each key once: several parts of a page may register the same. Keys that do the same share a line. */
export function mergedGroups(all: readonly KeyGroup[]): readonly KeyGroup[] {
  const merged = new Map<string, KeyBinding[]>();
  for (const { group, bindings } of all) {
    const known = merged.get(group) ?? [];
    merged.set(group, known);
    for (const binding of bindings) if (!known.some(({ keys }) => keys === binding.keys)) known.push(binding);
  }
  return [...merged]
    .map(([group, bindings]) => ({ group, bindings: withKeysJoined(bindings) }))
    .filter(({ bindings }) => bindings.length > 0);
}

function withKeysJoined(bindings: readonly KeyBinding[]): readonly KeyBinding[] {
  const byWords = new Map<string, KeyBinding>();
  for (const binding of bindings) {
    const same = byWords.get(binding.does);
    byWords.set(binding.does, same ? { ...same, keys: `${same.keys} / ${binding.keys}` } : binding);
  }
  return [...byWords.values()];
}

function wordsOf({ group, bindings }: KeyGroup): string {
  return [group, ...bindings.flatMap(({ keys, does }) => [keys, does])].join('\n');
}

function tell(): void {
  listed = [...groups].map(({ current }) => current);
  for (const listener of listeners) listener();
}

function listen(): void {
  window.addEventListener('keydown', onKeyDown);
  window.addEventListener('keyup', onKeyUp);
  window.addEventListener('blur', letGo);
}

function stopListening(): void {
  window.removeEventListener('keydown', onKeyDown);
  window.removeEventListener('keyup', onKeyUp);
  window.removeEventListener('blur', letGo);
}

function onKeyDown(event: KeyboardEvent): void {
  if (event.defaultPrevented || event.isComposing || isTyping(event.target) || behindDialog(event.target)) return;
  for (const { current } of [...groups].reverse()) {
    const binding = current.bindings.find(({ keys, run, hold }) => (run ?? hold) && matchesKeys(keys, event));
    if (!binding) continue;
    event.preventDefault();
    if (binding.hold) {
      if (event.repeat || heldDown) return;
      heldDown = { key: event.key.toLowerCase(), hold: binding.hold };
      binding.hold(true);
    } else binding.run?.(event);
    return;
  }
}

function onKeyUp(event: KeyboardEvent): void {
  if (event.key.toLowerCase() === heldDown?.key) letGo();
}

function letGo(): void {
  heldDown?.hold(false);
  heldDown = null;
}

/** Letters typed into a field are text. */
function isTyping(target: EventTarget | null): boolean {
  if (!(target instanceof HTMLElement)) return false;
  if (target.isContentEditable || target instanceof HTMLTextAreaElement || target instanceof HTMLSelectElement)
    return true;
  return target instanceof HTMLInputElement && !['checkbox', 'radio', 'range', 'button'].includes(target.type);
}

/** While a dialog is open, its own keys count. */
function behindDialog(target: EventTarget | null): boolean {
  return target instanceof Element && target.closest('[role="dialog"], [role="listbox"], [role="menu"]') !== null;
}
