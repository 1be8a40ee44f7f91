import { batch, effect, type Signal, signal } from "@preact/signals";
import { fields, isNumber, list, number, oneOf, strings, words } from "../core/json";
import { type Asks, noAnswerWhy, type Source } from "../senses/pictures";
import type { Picture } from "./bench";
import { type ReliefRefusal, SideLight } from "./side-light";
import { Undoable } from "./undo";
import type { Point } from "./zoom";

/** What a mark is a mark of, by the words of the core’s hints. */
export const hintKinds = ["second-image", "other-side", "differs"] as const;
export type HintKind = (typeof hintKinds)[number];

/** The highest score of each kind that was looked for. */
export type Scores = Partial<Record<HintKind, number>>;

/** A place to look at; in pixels of the coin’s own relief. Its number is its place in the list, from 1. */
export interface Hint extends Point {
  kind: HintKind;
  r: number;
  /** How far off the second image is, mm, and where, degrees counterclockwise from the right. */
  shift: number;
  toward: number;
  /** By how much the other side is turned, degrees counterclockwise. */
  degrees: number;
  /** The kinds of look-fors that look so, and what is taken for them. */
  look: readonly string[];
  /** The question of the identification key to go on from; empty for its first. */
  key: string;
}

/** How many ordinary coins get a mark of a kind, and what that rests on. */
export interface Bar {
  rate: number;
  coins: number;
  /** They were rendered: it isn’t tried on anybody’s camera. */
  simulated: boolean;
}

/** Why nothing is compared, by the words of the core’s hints, and what keeps the program from an answer. */
export const hintRefusals = ["no-relief", "no-fit", "too-few", "stopped", "left", "failed"] as const;
export type HintRefusal = (typeof hintRefusals)[number];

/** Whose photos a relief is made of. */
export type Whose = "ordinary" | "other";

export type Comparing =
  | { is: "idle" }
  | { is: "comparing"; done: number }
  | { is: "refused"; why: HintRefusal }
  /** The photos of one of the coins give no relief. */
  | { is: "no-shape"; whose: Whose; why: ReliefRefusal }
  | {
      is: "compared";
      hints: readonly Hint[];
      scores: Scores;
      bars: Partial<Record<HintKind, Bar>>;
      /** From places of the ordinary relief to those of this one, as the six numbers of a canvas; empty without one. */
      map: readonly number[];
      /** From so many ordinary coins of the hunter’s own on a bar is set by them. */
      enough: number;
    };

/** What is shown: this coin, the ordinary one in its place, or its other side, mirrored, as a mark says that it lies. */
export type Shown = "mine" | Whose;

/** A side of a coin lit from all sides, by a name. */
export interface Lit {
  id: string;
  frames: readonly Picture[];
}

/** Places where a coin’s relief differs from an ordinary one’s: to look at, never a verdict. */
export class Hints {
  readonly comparing: Signal<Comparing> = signal({ is: "idle" });
  /** The number of the mark in hand; 0 for none. */
  readonly chosen = signal(0);
  /** What is shown: this coin, or what lies in its place. */
  readonly shown: Signal<Shown> = signal("mine");
  /** The numbers of the marks that were looked at. */
  readonly work = new Undoable<ReadonlySet<number>>(new Set());
  private pictures: Asks;
  private mine: SideLight;
  private shapes = new Map<Whose, { id: string; light: SideLight }>();
  private call: AbortController | null = null;
  private making: SideLight | null = null;
  /** By how much the other side is turned where it is shown. */
  private turned = 0;
  private stopped: () => void;

  constructor(pictures: Asks, mine: SideLight) {
    this.pictures = pictures;
    this.mine = mine;
    this.stopped = effect(() => {
      if (mine.making.value.is !== "made") this.forget();
    });
  }

  /** The picture isn’t looked at any more. */
  end(): void {
    this.stopped();
    this.stop();
    for (const { light } of this.shapes.values()) light.end();
  }

  /** The ordinary coin, or the other side, if it can be shown in place of this one. */
  shapeShown(whose: Whose): SideLight | null {
    return this.shapes.get(whose)?.light ?? null;
  }

  /** What is shown in place of this coin, with the map of its places to those of this coin’s relief. */
  get instead(): { light: SideLight; map: readonly number[] } | null {
    const [shown, now] = [this.shown.value, this.comparing.value];
    const light = shown === "mine" ? null : this.shapeShown(shown);
    if (!light || now.is !== "compared") return null;
    if (shown === "ordinary") return { light, map: now.map };
    const [here, there] = [this.mine.making.value, light.making.value];
    if (here.is !== "made" || there.is !== "made") return null;
    return { light, map: mirroredOnto(there.disc, here.disc, this.turned) };
  }

  /**
   * Looks for what differs from the ordinary coin, and for the other side’s relief; either may be
   * missing. known are the scores of coins of which the hunter says that they are ordinary.
   */
  async compare(
    ordinary: Lit | null,
    other: Lit | null,
    mm: number,
    known: readonly Scores[],
  ): Promise<void> {
    const mine = this.mine.shape;
    if (!mine) return;
    this.stop();
    const call = new AbortController();
    this.call = call;
    this.forget();
    this.comparing.value = { is: "comparing", done: 0 };
    const current = () => call === this.call;
    const wanted = (
      [
        ["ordinary", ordinary],
        ["other", other],
      ] as const
    ).filter(([, lit]) => lit);
    const steps = wanted.length + 1;
    const tell = (step: number) => (done: number) => {
      if (current()) this.comparing.value = { is: "comparing", done: (step + done) / steps };
    };
    try {
      const of: Source[] = [mine];
      for (const [n, [whose, lit]] of wanted.entries()) {
        const shape = lit && (await this.shapeOf(whose, lit, tell(n)));
        if (!current()) return;
        if (!shape) return;
        of.push(shape);
      }
      const answer = await this.pictures.ask(
        "hints",
        of,
        (numbers) => ({
          mine: numbers[0],
          ...Object.fromEntries(wanted.map(([whose], n) => [whose, numbers[n + 1]])),
          mm,
          known,
        }),
        { signal: call.signal, onProgress: tell(wanted.length) },
      );
      if (!current()) return;
      if (words(answer.why)) {
        this.refuse(answer.why);
        return;
      }
      const bars = fields(answer.bars);
      batch(() => {
        this.work.set(new Set());
        this.work.rest();
        this.comparing.value = {
          is: "compared",
          hints: list(answer.marks).flatMap(readHint),
          scores: readScores(answer.scores),
          bars: Object.fromEntries(
            hintKinds.flatMap((kind) => (kind in bars ? [[kind, readBar(bars[kind])]] : [])),
          ),
          map: list(answer.map).filter(isNumber),
          enough: number(answer.enough) ?? 0,
        };
      });
    } catch (cause) {
      if (current()) this.refuse(noAnswerWhy(cause));
    }
  }

  stop(): void {
    this.making?.stop();
    this.call?.abort();
  }

  /** Takes the mark at a place of the relief into the hand: the smallest of several, or none. */
  tap(at: Point): void {
    const now = this.comparing.peek();
    if (now.is !== "compared") return;
    const there = now.hints
      .map((h, n) => ({ n: n + 1, r: h.r, far: Math.hypot(h.x - at.x, h.y - at.y) }))
      .filter(({ r, far }) => far <= r)
      .sort((a, b) => a.r - b.r);
    this.choose(there[0]?.n ?? 0);
  }

  choose(n: number): void {
    this.chosen.value = n;
  }

  /** Ticks a mark off as looked at, or takes that back. */
  tick(n: number): void {
    const looked = new Set(this.work.now.peek());
    if (!looked.delete(n)) looked.add(n);
    this.work.set(looked);
  }

  /**
   * Shows the ordinary coin where this one lay, or the other side mirrored and turned counterclockwise by
   * some degrees, under the same light; or this one again.
   */
  async swap(whose: Whose, degrees = 0): Promise<void> {
    const light = this.shapeShown(whose);
    this.turned = degrees;
    this.shown.value = light && this.shown.peek() !== whose ? whose : "mine";
    if (!light || this.shown.peek() === "mine") return;
    light.boost.value = this.mine.boost.peek();
    const { side, up } = this.mine.light.peek();
    // The mirror turns the light around too.
    await light.relight(whose === "other" ? { side: 180 + degrees - side, up } : { side, up });
  }

  private forget(): void {
    batch(() => {
      this.comparing.value = { is: "idle" };
      this.chosen.value = 0;
      this.shown.value = "mine";
    });
  }

  /** The relief of kept photos; made once, since another look needs it again. */
  private async shapeOf(whose: Whose, lit: Lit, onProgress: (done: number) => void): Promise<Source | null> {
    const had = this.shapes.get(whose);
    if (had?.id === lit.id && had.light.shape) return had.light.shape;
    had?.light.end();
    const light = new SideLight(this.pictures);
    this.shapes.set(whose, { id: lit.id, light });
    lit.frames.forEach((f, n) => void light.put(n, f));
    const told = effect(() => {
      const making = light.making.value;
      if (making.is === "making") onProgress(making.done);
    });
    this.making = light;
    await light.make();
    told();
    this.making = null;
    const made = light.making.peek();
    // They are handed over again if the program has to begin anew.
    for (const f of lit.frames) this.pictures.forget(f.source);
    if (made.is === "refused") this.comparing.value = refusedShape(whose, made.why);
    return light.shape;
  }

  private refuse(why: unknown): void {
    this.comparing.value = { is: "refused", why: oneOf(hintRefusals, why) ?? "failed" };
  }
}

/** Places of one disc to those of another, mirrored left and right and then turned counterclockwise by some degrees. */
export function mirroredOnto(from: Disc, to: Disc, degrees: number): number[] {
  const turn = (degrees * Math.PI) / 180;
  const [k, c, s] = [to.r / from.r, Math.cos(turn), Math.sin(turn)];
  const map = [-k * c, k * s, k * s, k * c] as const;
  return [...map, to.x - map[0] * from.x - map[2] * from.y, to.y - map[1] * from.x - map[3] * from.y];
}

interface Disc extends Point {
  r: number;
}

/** What kept the program from it has nothing to do with whose photos they are. */
function refusedShape(whose: Whose, why: ReliefRefusal): Comparing {
  return why === "stopped" || why === "left" || why === "failed"
    ? { is: "refused", why }
    : { is: "no-shape", whose, why };
}

/** What is read of scores, from the program or from storage. */
export function readScores(x: unknown): Scores {
  const f = fields(x);
  return Object.fromEntries(
    hintKinds.flatMap((kind) => {
      const score = number(f[kind]);
      return score === null ? [] : [[kind, score]];
    }),
  );
}

function readHint(x: unknown): Hint[] {
  const f = fields(x);
  const kind = oneOf(hintKinds, f.kind);
  const [at, down, r] = [number(f.x), number(f.y), number(f.r)];
  if (!kind || at === null || down === null || !r) return [];
  const [shift, toward, degrees] = [number(f.shift), number(f.toward), number(f.degrees)];
  const told = { shift: shift ?? 0, toward: toward ?? 0, degrees: degrees ?? 0 };
  return [{ kind, x: at, y: down, r, ...told, look: strings(f.look), key: words(f.key) }];
}

function readBar(x: unknown): Bar {
  const f = fields(x);
  return { rate: number(f.rate) ?? 1, coins: number(f.coins) ?? 0, simulated: f.simulated !== false };
}
