/** What a person does to a strip: each step is saved at once, can be undone, and the strip is measured again. */
import { useEffect, useRef, useState } from 'react';
import type { Edit, Problem, Work } from '../../electron/backend/api.ts';
import { edit, heldWork, isBeforeStep, measure } from '../api/store.ts';
import { announce } from '../look/announce.ts';
import type { StripRegion } from './bandEdits.ts';

export interface StripEdits {
  /** Why the last step was not taken; null: it was. */
  readonly problem: Problem | null;
  /** The region as it is being made: what is on its way to the library counts already, so that steps may follow at once. */
  latest(region: StripRegion): StripRegion;
  save(region: StripRegion, words: string): void;
  forget(): void;
}

/** A region that was made here. */
export interface MadeRegion {
  readonly region: StripRegion;
  /** Of the work that first holds it; null: the library has not answered. */
  readonly since: number | null;
}

/** The page draws a work a little after it has come: until then what was made here counts, else it would spring back meanwhile. */
export function latestRegion(drawn: StripRegion, revision: number, made: MadeRegion | null): StripRegion {
  return made?.region.id === drawn.id && (made.since === null || revision < made.since) ? made.region : drawn;
}

/** @param work as it is drawn */
export function useStripEdits({ ink: { id: ink }, revision, regions }: Work): StripEdits {
  const [problem, setProblem] = useState<Problem | null>(null);
  const [made, setMade] = useState<MadeRegion | null>(null);
  return {
    problem,
    latest: (region) => latestRegion(region, revision, made),
    save: (region, words) => {
      announce(`${words} The strip is measured again.`);
      setMade({ region, since: null });
      const drawn = regions.find((one) => one.region.id === region.id)?.region;
      const from = drawn?.kind === 'strip' ? latestRegion(drawn, revision, made) : undefined;
      const change: Edit = { edit: 'changeRegion', id: region.id, region, ...(from && { from }) };
      void edit(ink, change, { duringStep: isBeforeStep(ink, revision) }).then((refused) => {
        setProblem(refused);
        const since = refused === null ? (heldWork(ink)?.revision ?? 0) : 0;
        setMade((now) => (now?.region === region ? { region, since } : now));
      });
    },
    forget: () => setProblem(null),
  };
}

/** A hand may move on at once: the fit waits so long for it. */
const WAIT_MS = 500;

/** While its page is open a strip that was changed, here or by undo, is measured again by itself; once for each state of the work. */
export function useMeasuredAgain(work: Work, isHeld: boolean): void {
  const asked = useRef(-1);
  const { revision, regions, job } = work;
  const isStale = regions.some(({ region, measured }) => region.kind === 'strip' && measured === 'stale');
  const isRunning = job?.state === 'running';
  const ink = work.ink.id;
  useEffect(() => {
    if (!isStale || isHeld || isRunning || asked.current === revision) return;
    const timer = setTimeout(() => {
      asked.current = revision;
      void measure(ink).then((problem) => {
        if (problem) announce(problem.message);
      });
    }, WAIT_MS);
    return () => {
      clearTimeout(timer);
    };
  }, [ink, isStale, isHeld, isRunning, revision]);
}
