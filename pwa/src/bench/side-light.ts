import { batch, computed, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import { number, oneOf, words } from "../core/json";
import { type Asks, noAnswerWhy, type Pixels, type Source } from "../senses/pictures";
import type { Picture } from "./bench";
import { type DialCount, type Faulty, marksTaken, reliefOnDial } from "./dial";
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
  "astray",
  "stopped",
  "left",
  "failed",
] as const;
export type ReliefRefusal = (typeof reliefRefusals)[number];

export type Making =
  | { is: "idle" }
  | { is: "making"; done: number }
  | { is: "refused"; why: ReliefRefusal; mark?: number; off?: number }
  | { is: "made"; apart: number; doubt: number; disc: { x: number; y: number; r: number } };

/** Where the light is held over the relief. */
export interface Light {
  /** Degrees counterclockwise from the right. */
  side: number;
  /** Degrees over the table: low light shows more. */
  up: number;
}

/** What changes the light from photo to photo: the lamp is moved, or the coin turned on a paper dial. */
export type Led = { by: "lamp" } | { by: "dial"; count: DialCount };

/** Photos of one still coin with the lamp at known sides, made a shape that is lit from anywhere. */
export class SideLight {
  readonly led: Signal<Led> = signal({ by: "lamp" });
  readonly frames: ReadonlySignal<readonly (Picture | null)[]> = computed(
    () => this.taken.value.get(nameOf(this.led.value)) ?? stepsOf(this.led.value).map(() => null),
  );
  readonly making: Signal<Making> = signal({ is: "idle" });
  readonly light: Signal<Light> = signal({ side: 135, up: 25 });
  /** How much steeper slopes are shown than they are. */
  readonly boost = signal(1);
  /** The relief as it is lit now. */
  readonly lit: Signal<Pixels | null> = signal(null);
  /** The photos of each way to lead, so that going back to one finds its own. */
  private taken: Signal<ReadonlyMap<string, readonly (Picture | null)[]>> = signal(new Map());
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
    this.have(this.frames.peek().map((f, i) => (i === n ? picture : f)));
  }

  private have(frames: readonly (Picture | null)[]): void {
    this.taken.value = new Map(this.taken.peek()).set(nameOf(this.led.peek()), frames);
  }

  /** Another way to take them. */
  lead(led: Led): void {
    this.drop();
    this.led.value = led;
  }

  /** The photos are known by other names now, as those that they were kept under. */
  rename(names: readonly string[]): void {
    this.have(this.frames.peek().map((f, i) => f && { ...f, name: names[i] ?? f.name }));
  }

  /** The side that is to be lit next; null once all are there. */
  get next(): number | null {
    const n = this.frames.value.indexOf(null);
    return n < 0 ? null : n;
  }

  /** Makes the relief of the coin. */
  async make(): Promise<void> {
    this.drop();
    const work = new AbortController();
    this.work = work;
    this.making.value = { is: "making", done: 0 };
    const mine = () => work === this.work;
    const onProgress = (done: number) => {
      if (mine()) this.making.value = { is: "making", done };
    };
    try {
      const led = this.led.peek();
      const first = led.by === "lamp" ? 0 : 0.5; // what is done before the relief itself
      const relief = await (led.by === "lamp"
        ? this.underLamps(work.signal)
        : this.onDial(led.count, work.signal, onProgress));
      if (!mine()) return;
      if ("why" in relief) return this.refuse(relief);
      const answer = await this.pictures.ask("relief-of", [relief], ([r]) => ({ relief: r }), {
        signal: work.signal,
        onProgress: (done) => onProgress(first + (1 - first) * done),
      });
      if (!mine()) return;
      if (words(answer.why)) {
        this.refuse({ why: answer.why });
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
      if (mine()) this.refuse({ why: noAnswerWhy(cause) });
    }
  }

  /** The relief of a coin that lay still; its rim in all of the photos together says where. */
  private async underLamps(signal: AbortSignal): Promise<Source | Faulty> {
    const frames = this.frames.peek().flatMap((f, i) => (f ? [{ f, side: lampSides[i] ?? 0 }] : []));
    if (frames.length === 0) return { why: "too-few" };
    const found = await this.pictures.ask(
      "rim",
      frames.map(({ f }) => f.source),
      ([picture, ...also]) => ({ picture, also }),
      { signal },
    );
    const rim: Ellipse | null = words(found.why) ? null : readEllipse(found.rim);
    if (!rim) return { why: "no-rim" };
    return {
      made: {
        method: "relief",
        of: frames.map(({ f }) => f.source),
        question: (numbers) => ({
          rim,
          frames: numbers.map((picture, i) => ({ picture, side: frames[i]?.side ?? 0, up: lampUp })),
        }),
      },
    };
  }

  private async onDial(
    count: DialCount,
    signal: AbortSignal,
    onProgress: (done: number) => void,
  ): Promise<Source | Faulty> {
    const marks = marksTaken(count);
    const photos = this.frames.peek().flatMap((picture, i) => {
      const mark = marks[i];
      return picture && mark ? [{ mark, picture }] : [];
    });
    return reliefOnDial(this.pictures, photos, lampUp, signal, onProgress);
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

  private refuse({ why, ...where }: Faulty): void {
    this.making.value = { is: "refused", why: oneOf(reliefRefusals, why) ?? "failed", ...where };
  }
}

const nameOf = (led: Led): string => (led.by === "lamp" ? "lamp" : `dial ${led.count}`);

/** What the photos are of: the lamp's sides, or the dial's marks. */
export const stepsOf = (led: Led): readonly number[] =>
  led.by === "lamp" ? lampSides : marksTaken(led.count);

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
