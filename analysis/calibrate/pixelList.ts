/** Device values of pixels gathered one by one, as many as come: three numbers of two bytes each. */
export class PixelList {
  private values = new Uint16Array(192);
  private used = 0;

  get pixels(): number {
    return this.used / 3;
  }

  /** @param from Index of the pixel's red in `data`. */
  push(data: Uint8Array | Uint16Array, from: number): void {
    if (this.used + 3 > this.values.length) {
      const more = new Uint16Array(2 * this.values.length);
      more.set(this.values);
      this.values = more;
    }
    this.values[this.used++] = data[from];
    this.values[this.used++] = data[from + 1];
    this.values[this.used++] = data[from + 2];
  }

  /** What was gathered, in order; the list's own room. */
  taken(): Uint16Array {
    return this.values.subarray(0, this.used);
  }
}
