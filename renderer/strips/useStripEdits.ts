/** What a person does to a strip: each step is saved at once, can be undone, and the strip is measured again. */
import { useEffect, useRef } from 'react';
import type { Work } from '../../electron/backend/api.ts';
import { measure, useWork } from '../api/store.ts';
import { announce } from '../look/announce.ts';
import { useRegionDrafts } from '../scans/useRegionDrafts.ts';
import type { StripRegion } from './bandEdits.ts';

export interface StripEdits {
  /** Why the last step was not taken; null: it was. */
  problemOf(strip: string): string | null;
  /** The region as it is being made: what is on its way to the library counts already, so that steps may follow at once. */
  latest(region: StripRegion): StripRegion;
  /** @param make From the region with all that was done to it before. @returns whether it was taken */
  change(strip: string, make: (now: StripRegion) => StripRegion, words: string): Promise<boolean>;
  /** As `change`, of what stands on the page; while one step is on its way the later ones wait, and go as one. */
  move(region: StripRegion, words: string): void;
  forget(): void;
}

/** @param drawn The page draws a work a little after it has come; steps are of the latest. */
export function useStripEdits(drawn: Work): StripEdits {
  const loaded = useWork(drawn.ink.id);
  const drafts = useRegionDrafts(drawn.ink.id, loaded.state === 'ready' ? loaded.value : drawn);
  const tell = (words: string): void => announce(`${words} The strip is measured again.`);
  return {
    problemOf: (strip) => (drafts.problem?.id === strip ? drafts.problem.message : null),
    latest: (region) => {
      const now = drafts.regions.find(({ id }) => id === region.id);
      return now?.kind === 'strip' ? now : region;
    },
    change: async (strip, make, words) => {
      tell(words);
      return drafts.change(strip, (now) => (now.kind === 'strip' ? make(now) : now));
    },
    move: (region, words) => {
      tell(words);
      drafts.preview([region]);
      drafts.save();
    },
    forget: () => drafts.say(null),
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
