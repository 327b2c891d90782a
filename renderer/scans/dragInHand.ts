/** The drag that goes on, on whichever scan: Escape gives it up before it does anything else. */
export class DragInHand {
  private giveUp: (() => void) | null = null;

  begin(giveUp: () => void): void {
    this.giveUp = giveUp;
  }

  end(): void {
    this.giveUp = null;
  }

  /** @returns whether there was one. */
  escape(): boolean {
    const { giveUp } = this;
    this.giveUp = null;
    giveUp?.();
    return giveUp !== null;
  }
}
