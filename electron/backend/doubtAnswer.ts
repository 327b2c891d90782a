import type { LabValue } from '../../analysis/quantity.ts';

/** Standard uncertainty (L*, a*, b*) of the colours in a region's detail, as far as it has them. */
export interface ColoursDoubt {
  readonly ink?: LabValue;
  readonly paper?: LabValue;
  readonly dark?: LabValue;
  readonly light?: LabValue;
  readonly halo?: LabValue;
  readonly paperBeyond?: LabValue;
  /** Place by place across the mean edge. */
  readonly acrossEdge?: readonly LabValue[];
  /** Of the strip's palest place, and of the place nearest to its origin. */
  readonly stripPaper?: LabValue;
  readonly origin?: LabValue;
}
