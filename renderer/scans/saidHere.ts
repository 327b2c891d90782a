/** What a person has put into a field of a form that is drawn a little after the library has answered. */
import { createContext, useContext, useEffect, useRef, useState } from 'react';
import { tellNotKept } from '../api/meanwhile.ts';
import { heldWork, timesLetGo } from '../api/store.ts';

/** The work that a form is drawn from. */
export const DrawnWork = createContext<{ readonly ink: number; readonly revision: number }>({ ink: 0, revision: 0 });

/** What the fields of a form are of, in words: “b-white”, scan “white”; null: of nothing that has a name. */
export const FieldsOf = createContext<string | null>(null);

/** Whether the library took it; nothing: nobody has to be asked, the field's value has changed already. */
export type Taken = Promise<boolean> | void;

export interface SaidHere<T> {
  readonly value: T;
  /** @returns false: refused, the field's value is again what it was before; what was put in may be mended. */
  readonly save: (next: T) => Promise<boolean>;
}

interface Said<T> {
  readonly value: T;
  /** Revision of the work that first holds it; null: the library has not answered. */
  readonly since: number | null;
}

/** What is put in counts at once and until the form draws a work that holds it: who presses or types on begins there. */
export function useSaidHere<T>(drawn: T, onSave: (value: T) => Taken): SaidHere<T> {
  const { ink, revision } = useContext(DrawnWork);
  const [said, setSaid] = useState<Said<T> | null>(null);
  const save = async (value: T): Promise<boolean> => {
    const taken = onSave(value);
    if (!taken) return true;
    const mine: Said<T> = { value, since: null };
    setSaid(mine);
    const lettings = timesLetGo(ink);
    const isTaken = await taken;
    const since = isTaken ? (heldWork(ink)?.revision ?? 0) : 0;
    setSaid((now) => (now === mine ? { value, since } : now));
    return isTaken || timesLetGo(ink) !== lettings;
  };
  return { value: counts(said, revision) ? said.value : drawn, save };
}

export function counts<T>(said: Said<T> | null, revision: number): said is Said<T> {
  return said !== null && (said.since === null || revision < said.since);
}

/** Whoever leaves by a click on the scan, the browser's way back or a reload has not left the field: what stands in it is taken all the same. */
export function useLeft(done: () => void): void {
  const latest = useRef(done);
  useEffect(() => {
    latest.current = done;
  });
  useEffect(() => {
    const leave = (): void => latest.current();
    addEventListener('pagehide', leave);
    return () => {
      removeEventListener('pagehide', leave);
      leave();
    };
  }, []);
}

/** Says, once a field has gone, why what stood in it could not be kept: there is no place beside it any more. @param label of the field */
export function useRefusedAsLeft(label: string): (problem: string) => void {
  const { ink } = useContext(DrawnWork);
  const whose = useContext(FieldsOf);
  return (problem) => tellNotKept(ink, { message: `${label}${whose === null ? '' : ` of ${whose}`}: ${problem}` });
}
