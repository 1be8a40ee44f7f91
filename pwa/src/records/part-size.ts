/** The laptop takes at most 1 MiB at once. */
export const mostPartBytes = 512 << 10;
const firstPartBytes = 64 << 10;
const leastPartBytes = 8 << 10;
/** A part is to take about so long: short enough that little is lost when the line breaks. */
const goodMs = 4000;

/**
 * How much of a photo goes at once. It begins small and grows with the line, so
 * that a part arrives in time over a slow one too.
 */
export class PartSize {
  private most: number;
  private bytes: number;

  constructor(most = mostPartBytes) {
    this.most = most;
    this.bytes = Math.min(firstPartBytes, most);
  }

  get now(): number {
    return this.bytes;
  }

  /** A part of so many bytes took so long. */
  went(bytes: number, ms: number): void {
    const fits = ms > 0 ? (bytes / ms) * goodMs : Number.POSITIVE_INFINITY;
    this.set(Math.min(fits, 2 * this.bytes));
  }

  /** A part didn't arrive. */
  failed(): void {
    this.set(this.bytes / 2);
  }

  private set(bytes: number): void {
    this.bytes = Math.round(Math.min(this.most, Math.max(bytes, Math.min(leastPartBytes, this.most))));
  }
}
