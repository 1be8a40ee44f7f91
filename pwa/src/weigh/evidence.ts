import { batch, type Signal, signal } from "@preact/signals";
import type { Placement } from "../live/wire";

/** What a person can find out beside the weight, by the core's names for it. */
export const evidenceFields = [
  "magnetic",
  "edge",
  "stripe",
  "colour",
  "diameter_mm",
  "thickness_mm",
  "density",
  "ring",
  "design",
] as const;
export type EvidenceField = (typeof evidenceFields)[number];

/** What was found out, by the core's names: the fields above, and the ids of its questions. */
export type Given = Record<string, string>;

export const isEvidenceField = (name: string): name is EvidenceField =>
  evidenceFields.some((f) => f === name);

export const isEmpty = (given: Given): boolean => Object.keys(given).length === 0;

/** How long a coin that was lifted to be looked at may take to come back. */
const backWithinMs = 3 * 60_000;
/** How long what was measured by a tool, away from the pan, waits for its coin. */
const broughtWithinMs = 10 * 60_000;

/**
 * What was found out about one coin. It goes with the coin: a new load begins
 * with nothing, and what was said of the one before can be taken over, for a
 * coin that was lifted to be looked at and put back. That is offered for a few
 * minutes after it was last seen or told about, and for the denomination it was
 * told of, since later it is another coin's.
 */
export class Evidence {
  readonly given: Signal<Given> = signal({});
  /** Of the coin before, or from a tool, for one tap. */
  readonly before: Signal<Given> = signal({});
  /** The load it is about: the one on the pan, or the last that was. */
  coin: Placement | null = null;
  /** The pan has been empty since: what comes may be another coin, whatever its number. */
  private lifted = false;
  private history: Signal<Given[]> = signal([]);
  /** The denomination picked while the coin lay there; empty for none. */
  private denomination = "";
  /** That at which something was told last. */
  private toldAs = "";
  /** When the coin was on the pan, or told about, last. */
  private seen = 0;
  /** What stands before is of this denomination, any if empty, and good until then. */
  private offer = { denomination: "", until: 0 };
  private now: () => number;

  constructor(now: () => number = Date.now) {
    this.now = now;
  }

  set(field: string, value: string): void {
    if (this.given.value[field] === value) return;
    this.become({ ...this.given.value, [field]: value });
  }

  remove(field: string): void {
    const { [field]: gone, ...rest } = this.given.value;
    if (gone !== undefined) this.become(rest);
  }

  get canUndo(): boolean {
    return this.history.value.length > 0;
  }

  undo(): void {
    const was = this.history.value.at(-1);
    if (!was) return;
    batch(() => {
      this.history.value = this.history.value.slice(0, -1);
      this.given.value = was;
    });
  }

  /** It is the coin that was told about before. */
  sameCoin(): void {
    batch(() => {
      this.become({ ...this.before.value, ...this.given.value });
      this.before.value = {};
    });
  }

  /** Puts something by that was measured away from the pan's one load. */
  putBy(found: Given): void {
    this.before.value = { ...this.before.value, ...this.given.value, ...found };
    this.offer = { denomination: "", until: this.now() + broughtWithinMs };
  }

  /** A load is on the pan, weighed as a denomination; null when it is empty. */
  load(placement: Placement | null, denomination = ""): void {
    if (placement === null) {
      if (!this.lifted) this.seen = this.now();
      this.lifted = true;
      return;
    }
    if (placement === this.coin && !this.lifted) {
      this.denomination = denomination;
      return;
    }
    if (!this.lifted) this.seen = this.now();
    this.lifted = false;
    batch(() => {
      const was = this.given.peek();
      const before = this.before.peek();
      if (Object.keys(was).some((f) => was[f] !== before[f])) {
        this.before.value = was;
        this.offer = { denomination: this.toldAs, until: this.seen + backWithinMs };
      }
      const { denomination: of, until } = this.offer;
      if ((of && of !== denomination) || this.now() > until) this.before.value = {};
      this.denomination = denomination;
      this.given.value = {};
      this.history.value = [];
      this.coin = placement;
    });
  }

  private become(given: Given): void {
    this.toldAs = this.denomination;
    this.seen = this.now();
    batch(() => {
      this.history.value = [...this.history.value, this.given.value];
      this.given.value = given;
    });
  }
}
