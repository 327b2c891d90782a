/** Several viewers at one scale in mm: who zooms takes the others along, each about its own centre. */

export interface LinkedView {
  /** Scan px for each mm; null: the scan has no resolution and cannot be linked. */
  readonly pxPerMm: number | null;
  /** CSS px for each mm at which the whole scan fits. */
  fittingScale(): number | null;
  /** @param screenPerMm CSS px for each mm. */
  follow(screenPerMm: number): void;
  moveBy(xMm: number, yMm: number): void;
  /** The middle of the scan at this scale. */
  showWhole(screenPerMm: number): void;
}

export class ViewLink {
  private readonly views = new Set<LinkedView>();
  private scale: number | null = null;
  private steered = false;
  private together = false;

  /** CSS px for each mm; null until a viewer has said one. */
  get screenPerMm(): number | null {
    return this.scale;
  }

  /** Returns the way to leave. The last one out takes the scale along. */
  join(view: LinkedView): () => void {
    this.views.add(view);
    return () => {
      this.views.delete(view);
      if (this.views.size > 0) return;
      this.scale = null;
      this.steered = false;
    };
  }

  /** One viewer was zoomed by its person. A scale that all have already moves nothing. */
  zoomed(by: LinkedView, screenPerMm: number): void {
    if (by.pxPerMm === null || !(screenPerMm > 0)) return;
    this.steered = true;
    if (this.scale !== null && Math.abs(screenPerMm / this.scale - 1) < 1e-6) return;
    this.scale = screenPerMm;
    for (const view of this.views) if (view !== by && view.pxPerMm !== null) view.follow(screenPerMm);
  }

  /** Whether panning takes the others along, too. */
  moveTogether(together: boolean): void {
    this.together = together;
  }

  moved(by: LinkedView, xMm: number, yMm: number): void {
    if (!this.together || by.pxPerMm === null) return;
    for (const view of this.views) if (view !== by && view.pxPerMm !== null) view.moveBy(xMm, yMm);
  }

  /** Until a person zooms, all share the scale that shows each scan whole. */
  settle(): void {
    if (!this.steered) this.fit();
  }

  /** The largest scale that shows each scan whole. */
  fit(): void {
    const scales = [...this.views].flatMap((view) => view.fittingScale() ?? []);
    if (scales.length === 0) return;
    this.scale = Math.min(...scales);
    for (const view of this.views) if (view.pxPerMm !== null) view.showWhole(this.scale);
  }
}
