/** What the window asks about strips beyond measuring them: tasks that no sheet's measuring needs. */
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import type { WritingDyes, WritingInput } from '../../analysis/measure/strip/dyesOfWriting.ts';
import type { ProposedStrip } from '../../analysis/measure/strip/proposeStrips.ts';
import type { StripMeasure, StripProfileView, Travel } from '../../analysis/measure/strip/strip.ts';
import type { Dye, Unmixed } from '../../analysis/measure/strip/unmix.ts';
import type { BoxPx } from '../scans/readScan.ts';
import type { ScanInfo } from '../scans/scanInfo.ts';

interface OnScan {
  readonly info: ScanInfo;
  readonly dpi: number;
  readonly calibration: Calibration;
  readonly boxPx: BoxPx;
}

/** A strip laid straight, as a picture. */
export interface StraightTask extends OnScan {
  readonly task: 'straight';
  readonly travel: Travel;
  readonly originMm: number | null;
  readonly frontMm: number | null;
}
export interface StraightResult {
  /** 8-bit sRGB; null: too few pixels to be a strip. */
  readonly png: Uint8Array | null;
}

/** Strips that lie on a scan. */
export interface ProposeTask extends OnScan {
  readonly task: 'propose';
}
export interface ProposeResult {
  readonly strips: readonly ProposedStrip[];
}

/** A strip's dyes along a strip. */
export interface DyesAlongTask {
  readonly task: 'dyes-along';
  readonly dyes: readonly Dye[];
  readonly law: StripMeasure['law'];
  readonly profile: StripProfileView;
}
export interface DyesAlongResult {
  readonly along: readonly Unmixed[];
}

/** A strip's dyes over a writing sample. */
export interface DyesOverTask extends OnScan {
  readonly task: 'dyes-over';
  readonly dyes: readonly Dye[];
  readonly toldBy: WritingInput['toldBy'];
  /** Classes of its pixels as they were measured (measure/ink.ts INK_MARKS). */
  readonly marks: Uint8Array;
  readonly haloMm: number | null;
}
export interface DyesOverResult {
  readonly over: WritingDyes | null;
}

export type StripTask = StraightTask | ProposeTask | DyesAlongTask | DyesOverTask;

export interface StripRunner {
  straight(task: StraightTask, signal?: AbortSignal): Promise<StraightResult>;
  propose(task: ProposeTask, signal?: AbortSignal): Promise<ProposeResult>;
  dyesAlong(task: DyesAlongTask, signal?: AbortSignal): Promise<DyesAlongResult>;
  dyesOver(task: DyesOverTask, signal?: AbortSignal): Promise<DyesOverResult>;
}
