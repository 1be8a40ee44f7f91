import { batch, type Signal, signal } from "@preact/signals";
import { number, oneOf, words } from "../core/json";
import { type Asks, noAnswerWhy, type Pixels, type Source } from "../senses/pictures";
import type { Picture } from "./bench";
import { type Ellipse, readEllipse } from "./work";

/** The sides a lamp is led to, degrees counterclockwise from the right, in the order they are taken. */
export const lampSides = [0, 90, 180, 270] as const;
/** How high a lamp is taken to stand that is held beside the coin, degrees over the table. */
const lampUp = 30;

/** Why photos give no relief, by the words of the core’s relief, and what keeps the program from an answer. */
export const reliefRefusals = [
  "no-rim",
  "too-few",
  "too-many",
  "sizes",
  "one-sided",
  "dark",
  "glare",
  "slipped",
  "stopped",
  "left",
  "failed",
] as const;
export type ReliefRefusal = (typeof reliefRefusals)[number];

export type Making =
  | { is: "idle" }
  | { is: "making"; done: number }
  | { is: "refused"; why: ReliefRefusal }
  | { is: "made"; apart: number; doubt: number; disc: { x: number; y: number; r: number } };

/** Where the light is held over the relief. */
export interface Light {
  /** Degrees counterclockwise from the right. */
  side: number;
  /** Degrees over the table: low light shows more. */
  up: number;
}

/** Photos of one still coin with the lamp at known sides, made a shape that is lit from anywhere. */
export class SideLight {
  readonly frames: Signal<readonly (Picture | null)[]> = signal(lampSides.map(() => null));
  readonly making: Signal<Making> = signal({ is: "idle" });
  readonly light: Signal<Light> = signal({ side: 135, up: 25 });
  /** How much steeper slopes are shown than they are. */
  readonly boost = signal(1);
  /** The relief as it is lit now. */
  readonly lit: Signal<Pixels | null> = signal(null);
  private pictures: Asks;
  private relief: Source | null = null;
  private work: AbortController | null = null;
  private lighting = false;
  private again = false;

  constructor(pictures: Asks) {
    this.pictures = pictures;
  }

  /** The relief itself, to be asked about; null until it is made. */
  get shape(): Source | null {
    return this.relief;
  }

  /** It isn’t looked at any more. */
  end(): void {
    this.drop();
  }

  put(n: number, picture: Picture | null): void {
    this.drop();
    this.frames.value = this.frames.peek().map((f, i) => (i === n ? picture : f));
  }

  /** The photos are known by other names now, as those that they were kept under. */
  rename(names: readonly string[]): void {
    this.frames.value = this.frames.peek().map((f, i) => f && { ...f, name: names[i] ?? f.name });
  }

  /** The side that is to be lit next; null once all are there. */
  get next(): number | null {
    const n = this.frames.value.indexOf(null);
    return n < 0 ? null : n;
  }

  /** Makes the relief of the coin, whose rim in all of the photos together says where it lies. */
  async make(): Promise<void> {
    const frames = this.frames.peek().flatMap((f, i) => (f ? [{ f, side: lampSides[i] ?? 0 }] : []));
    this.drop();
    const work = new AbortController();
    this.work = work;
    this.making.value = { is: "making", done: 0 };
    let rim: Ellipse | null = null;
    const relief: Source = {
      made: {
        method: "relief",
        of: frames.map(({ f }) => f.source),
        question: (numbers) => ({
          rim,
          frames: numbers.map((picture, i) => ({ picture, side: frames[i]?.side ?? 0, up: lampUp })),
        }),
      },
    };
    const mine = () => work === this.work;
    try {
      const [first] = frames;
      if (!first) return this.refuse("too-few");
      const found = await this.pictures.ask(
        "rim",
        frames.map(({ f }) => f.source),
        ([picture, ...also]) => ({ picture, also }),
        { signal: work.signal },
      );
      if (!mine()) return;
      rim = words(found.why) ? null : readEllipse(found.rim);
      if (!rim) return this.refuse("no-rim");
      const answer = await this.pictures.ask("relief-of", [relief], ([r]) => ({ relief: r }), {
        signal: work.signal,
        onProgress: (done) => {
          if (mine()) this.making.value = { is: "making", done };
        },
      });
      if (!mine()) return;
      if (words(answer.why)) {
        this.refuse(answer.why);
        return;
      }
      this.relief = relief;
      this.making.value = {
        is: "made",
        apart: number(answer.apart) ?? 0,
        doubt: number(answer.doubt) ?? 0,
        disc: { x: number(answer.x) ?? 0, y: number(answer.y) ?? 0, r: number(answer.r) ?? 1 },
      };
      await this.relight();
    } catch (cause) {
      if (mine()) this.refuse(noAnswerWhy(cause));
    }
  }

  stop(): void {
    this.work?.abort();
  }

  /** Lights it from elsewhere; while one picture is worked out only the newest light waits. */
  async relight(light: Light = this.light.peek()): Promise<void> {
    this.light.value = light;
    const relief = this.relief;
    if (!relief) return;
    if (this.lighting) {
      this.again = true;
      return;
    }
    this.lighting = true;
    do {
      this.again = false;
      const { side, up } = this.light.peek();
      const boost = this.boost.peek();
      const lit: Source = {
        made: { method: "relit", of: [relief], question: ([r]) => ({ relief: r, side, up, boost }) },
      };
      const pixels = await this.pictures.pixels(lit).catch(() => null);
      this.pictures.forget(lit);
      if (relief === this.relief && pixels) this.lit.value = pixels;
    } while (this.again && relief === this.relief);
    this.lighting = false;
  }

  /** Another photo came, so what was made of the others goes. */
  private drop(): void {
    this.work?.abort();
    this.work = null;
    if (this.relief) this.pictures.forget(this.relief);
    this.relief = null;
    batch(() => {
      this.making.value = { is: "idle" };
      this.lit.value = null;
    });
  }

  private refuse(why: unknown): void {
    this.making.value = { is: "refused", why: oneOf(reliefRefusals, why) ?? "failed" };
  }
}

/** A place on a round pad as a light: its middle is light from above, its edge from the side. */
export function lightAt(x: number, y: number): Light {
  const far = Math.min(1, Math.hypot(x, y));
  const side = (Math.atan2(-y, x) * 180) / Math.PI;
  return { side: far < 1e-6 ? 0 : side, up: Math.round(lowest + (highest - lowest) * (1 - far)) };
}

/** Where a light stands on the pad. */
export function padOf({ side, up }: Light): { x: number; y: number } {
  const far = 1 - (up - lowest) / (highest - lowest);
  const turn = (side * Math.PI) / 180;
  return { x: far * Math.cos(turn), y: -far * Math.sin(turn) };
}

const [lowest, highest] = [10, 85];
