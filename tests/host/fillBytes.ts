/** T.81, B.1.1.2: any number of bytes 0xff may stand before a marker. */
export function withFill(jpeg: Buffer): Buffer {
  return Buffer.concat([jpeg.subarray(0, 2), Buffer.from([0xff, 0xff, 0xff]), jpeg.subarray(2)]);
}
