import { batch, effect, type Signal, signal } from "@preact/signals";
import { fields, list, number, oneOf } from "../core/json";
import { type Asks, noAnswerWhy, type Source } from "../senses/pictures";
import type { Picture } from "./bench";
import { Undoable } from "./undo";
import type { Point } from "./zoom";

/** Why no coins are counted or told apart, by the words of the core’s mat, and what keeps the program from an answer. */
export const matRefusals = ["none", "small", "not-there", "stopped", "left", "failed"] as const;
export type MatRefusal = (typeof matRefusals)[number];

/** The colors a coin can be taught as. */
export const matColors = ["red", "brown", "white", "grey"] as const;
export type MatColor = (typeof matColors)[number];

export const matSides = ["heads", "tails"] as const;
export type MatSide = (typeof matSides)[number];

/** What is to be done with a coin, by the words of the core’s mat. */
export const acts = ["pick-up", "turn", "look", "leave"] as const;
export type Act = (typeof acts)[number];

/** One coin on the mat; its number is its place in the list, from 1. */
export interface MatCoin extends Point {
  r: number;
  /** Empty where it is like none that was taught, or unsure. */
  color: MatColor | "";
  side: MatSide | "";
  act: Act;
}

/** What the hunter said of one coin. */
export interface Lesson {
  color: MatColor | "";
  side: MatSide | "";
}

/** What the hunter taught and wants, which can be taken back. */
export interface Lessons {
  /** By the coin's number. */
  taught: ReadonlyMap<number, Lesson>;
  /** Colors that are to be picked up. */
  pick: readonly MatColor[];
  /** The side that must lie up; empty for any. */
  up: MatSide | "";
}

export const noLessons: Lessons = { taught: new Map(), pick: [], up: "" };

export type MatWork = { is: "idle" } | { is: "counting" | "telling"; done: number };

/** Many coins in one photo: counted, numbered, and told apart by those that were taught. */
export class Mat {
  readonly picture: Picture;
  readonly work = new Undoable<Lessons>(noLessons);
  /** Null until they are counted. */
  readonly coins: Signal<readonly MatCoin[] | null> = signal(null);
  readonly doing: Signal<MatWork> = signal({ is: "idle" });
  readonly refused: Signal<MatRefusal | null> = signal(null);
  /** The number of the coin in hand; 0 for none. */
  readonly chosen = signal(0);
  private pictures: Asks;
  private laid: Source;
  private call: AbortController | null = null;
  private again = false;
  private ended = false;
  private stopped: () => void;

  constructor(picture: Picture, pictures: Asks) {
    this.picture = picture;
    this.pictures = pictures;
    this.laid = {
      made: { method: "mat", of: [picture.source], question: ([n]) => ({ picture: n }) },
    };
    this.stopped = effect(() => {
      this.work.now.value;
      if (this.coins.peek()) void this.tell();
    });
  }

  /** The picture isn't looked at any more. */
  end(): void {
    this.ended = true;
    this.stopped();
    this.call?.abort();
    this.pictures.forget(this.laid);
  }

  /** Finds the coins and counts them. */
  async count(): Promise<void> {
    await this.ask("counting");
  }

  stop(): void {
    this.again = false;
    this.call?.abort();
  }

  /** Takes the coin at a place into the hand; where none lies it says so. */
  tap(at: Point): void {
    const coins = this.coins.peek();
    if (!coins) return;
    const n = coins.findIndex((c) => Math.hypot(c.x - at.x, c.y - at.y) <= c.r);
    batch(() => {
      this.chosen.value = n + 1;
      this.refused.value = n < 0 ? "not-there" : null;
    });
  }

  /** Takes a coin into the hand by its number, or puts it back. */
  choose(n: number): void {
    this.chosen.value = this.chosen.peek() === n ? 0 : n;
  }

  /** Says what one coin is; said again it is taken back. */
  teach(n: number, what: Partial<Lesson>): void {
    const now = this.work.now.peek();
    const was = now.taught.get(n) ?? { color: "", side: "" };
    const lesson: Lesson = {
      color: what.color === undefined ? was.color : what.color === was.color ? "" : what.color,
      side: what.side === undefined ? was.side : what.side === was.side ? "" : what.side,
    };
    const taught = new Map(now.taught);
    if (lesson.color || lesson.side) taught.set(n, lesson);
    else taught.delete(n);
    // What is no longer taught can't be looked for.
    const pick = now.pick.filter((color) => [...taught.values()].some((l) => l.color === color));
    this.work.set({ ...now, taught, pick });
  }

  /** Colors are picked up, or left again. */
  want(color: MatColor): void {
    const now = this.work.now.peek();
    const pick = now.pick.includes(color) ? now.pick.filter((c) => c !== color) : [...now.pick, color];
    this.work.set({ ...now, pick });
  }

  wantUp(up: MatSide | ""): void {
    this.work.set({ ...this.work.now.peek(), up });
  }

  /** Tells them apart by all that was taught; while one answer is worked out only the newest waits. */
  private async tell(): Promise<void> {
    if (this.call) {
      this.again = true;
      return;
    }
    await this.ask("telling");
  }

  private async ask(is: "counting" | "telling"): Promise<void> {
    this.call?.abort();
    const call = new AbortController();
    this.call = call;
    const mine = () => call === this.call && !this.ended;
    batch(() => {
      this.refused.value = null;
      this.doing.value = { is, done: 0 };
    });
    try {
      const answer = await this.pictures.ask("mat-of", [this.laid], ([mat]) => this.question(mat), {
        signal: call.signal,
        onProgress: (done) => {
          if (mine()) this.doing.value = { is, done };
        },
      });
      if (!mine()) return;
      if (answer.why === "") this.coins.value = list(answer.coins).flatMap(readCoin);
      else this.refused.value = refusalOf(answer.why);
    } catch (cause) {
      if (!mine()) return;
      this.refused.value = refusalOf(noAnswerWhy(cause));
    }
    this.call = null;
    this.doing.value = { is: "idle" };
    if (this.again) {
      this.again = false;
      await this.tell();
    }
  }

  private question(mat: number | undefined): object {
    const coins = this.coins.peek() ?? [];
    const { taught, pick, up } = this.work.now.peek();
    const said = [...taught].flatMap(([n, lesson]) => {
      const c = coins[n - 1];
      return c ? [{ x: c.x, y: c.y, ...lesson }] : [];
    });
    return { mat, taught: said, pick: [...pick], up };
  }
}

const refusalOf = (why: unknown): MatRefusal => oneOf(matRefusals, why) ?? "failed";

function readCoin(x: unknown): MatCoin[] {
  const f = fields(x);
  const at = { x: number(f.x), y: number(f.y), r: number(f.r) };
  if (at.x === null || at.y === null || at.r === null) return [];
  return [
    {
      x: at.x,
      y: at.y,
      r: at.r,
      color: oneOf(matColors, f.color) ?? "",
      side: oneOf(matSides, f.side) ?? "",
      act: oneOf(acts, f.act) ?? "leave",
    },
  ];
}

/** The numbers of the coins that a test takes. */
export const numbersOf = (coins: readonly MatCoin[], is: (c: MatCoin) => boolean): number[] =>
  coins.flatMap((c, i) => (is(c) ? [i + 1] : []));
