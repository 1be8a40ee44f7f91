import { batch, type Signal, signal } from "@preact/signals";
import { isNumber, list, number, oneOf, words } from "../core/json";
import { type Asks, noAnswerWhy } from "../senses/pictures";
import type { Bench, Picture } from "./bench";
import { type Ellipse, edgeOf, readEllipse } from "./work";

/** Why one picture isn't laid over the other, by the words of the core’s align, and what keeps the program from an answer. */
export const overRefusals = [
  "no-rim",
  "too-small",
  "flat",
  "no-fit",
  "ambiguous",
  "stopped",
  "left",
  "failed",
] as const;
export type OverRefusal = (typeof overRefusals)[number];

/** How two pictures are looked at. */
export const lookings = ["beside", "faded", "blink", "difference", "mirrored"] as const;
export type Looking = (typeof lookings)[number];

export type Laying =
  | { is: "idle" }
  | { is: "laying"; done: number }
  | { is: "refused"; why: OverRefusal }
  | { is: "laid" };

/** How one lies over the other. */
export interface Fit {
  /** Places of the other picture to places of this one, as the six numbers of a canvas. */
  map: number[];
  /** By how much the other was turned, degrees counterclockwise; null where only the rims were laid. */
  degrees: number | null;
  u: number;
  /** The lamps stood alike, and only then a difference is one of the coins. */
  alike: boolean;
  /** The light is too unlike for the relief to agree place by place: rims and turn alone were laid. */
  rough: boolean;
}

/** Another picture laid over the one on the bench. */
export class Over {
  readonly other: Signal<Picture | null> = signal(null);
  readonly looking: Signal<Looking> = signal("faded");
  /** How strongly the other shows, 0 to 1. */
  readonly strength = signal(0.5);
  /** By how much the other is turned by hand where it is mirrored, degrees counterclockwise. */
  readonly turn = signal(0);
  readonly laying: Signal<Laying> = signal({ is: "idle" });
  readonly fit: Signal<Fit | null> = signal(null);
  private pictures: Asks;
  private bench: Bench;
  private work: AbortController | null = null;
  private otherRim: Ellipse | null = null;
  private again = false;

  constructor(bench: Bench, pictures: Asks) {
    this.bench = bench;
    this.pictures = pictures;
  }

  end(): void {
    this.work?.abort();
    const other = this.other.peek();
    if (other) this.pictures.forget(other.source);
  }

  /** Takes another picture; its rim is looked for if it isn't known. */
  async take(other: Picture, rim: Ellipse | null): Promise<void> {
    this.end();
    this.other.value = other;
    this.otherRim = rim;
    await this.lay();
  }

  /** Looks at them another way; mirrored they are laid by their rims alone. */
  async look(looking: Looking): Promise<void> {
    const was = this.looking.peek();
    this.looking.value = looking;
    if ((was === "mirrored") !== (looking === "mirrored") && this.other.peek()) await this.lay();
  }

  /** Turns the mirrored one; while one turn is laid only the newest waits, since stopping it ends the program. */
  async turnTo(degrees: number): Promise<void> {
    this.turn.value = degrees;
    if (!this.otherRim || this.looking.peek() !== "mirrored") return;
    if (this.laying.peek().is === "laying") this.again = true;
    else await this.lay();
  }

  stop(): void {
    this.again = false;
    this.work?.abort();
  }

  /** Lays the other over this one anew, as after a rim was mended. */
  async lay(): Promise<void> {
    this.work?.abort();
    this.again = false;
    const other = this.other.peek();
    const rim = edgeOf(this.bench.work.now.peek().rim);
    if (!other) return;
    if (!rim) {
      this.refuse("no-rim");
      return;
    }
    const work = new AbortController();
    this.work = work;
    this.laying.value = { is: "laying", done: 0 };
    const mine = () => work === this.work;
    const how = {
      signal: work.signal,
      onProgress: (done: number) => {
        if (mine()) this.laying.value = { is: "laying", done };
      },
    };
    try {
      if (!this.otherRim) {
        const found = await this.pictures.ask("rim", [other.source], ([picture]) => ({ picture }), how);
        if (!mine()) return;
        this.otherRim = readEllipse(found.rim);
        if (words(found.why) || !this.otherRim) {
          this.otherRim = null;
          this.refuse("no-rim");
          return;
        }
      }
      const rims = { rim, otherRim: this.otherRim };
      const answer =
        this.looking.peek() === "mirrored"
          ? await this.pictures.ask(
              "laid",
              [],
              () => ({ ...rims, degrees: this.turn.peek(), mirrored: true }),
              how,
            )
          : await this.pictures.ask(
              "over",
              [this.bench.picture.source, other.source],
              ([picture, over]) => ({ picture, over, ...rims }),
              how,
            );
      if (!mine()) return;
      const map = list(answer.map).filter(isNumber);
      if (words(answer.why) || map.length !== 6) this.refuse(answer.why);
      else
        batch(() => {
          this.laying.value = { is: "laid" };
          this.fit.value = {
            map,
            degrees: number(answer.degrees),
            u: number(answer.u) ?? 0,
            alike: answer.alike === true,
            rough: answer.rough === true,
          };
        });
    } catch (cause) {
      if (mine()) this.refuse(noAnswerWhy(cause));
    }
    if (mine() && this.again) await this.lay();
  }

  private refuse(why: unknown): void {
    batch(() => {
      this.fit.value = null;
      this.laying.value = { is: "refused", why: oneOf(overRefusals, why) ?? "failed" };
    });
  }
}
