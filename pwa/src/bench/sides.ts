import { batch, computed, effect, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import { list, number, oneOf, words } from "../core/json";
import { type Asks, noAnswerWhy } from "../senses/pictures";
import type { Bench, Picture } from "./bench";
import { type Face, faces, otherFace } from "./lit";
import { type OverRefusal, overRefusals } from "./over";
import { Undoable } from "./undo";
import { type Ellipse, handOf, readEllipse } from "./work";
import { type Point, Zoom } from "./zoom";

/** The ways a coin is turned over, by the words of the core's sides. */
export const turnWays = ["top-to-bottom", "side-to-side"] as const;
export type Way = (typeof turnWays)[number];

/** How the axis was kept. */
export const turnHands = ["ruler", "free"] as const;
export type Hand = (typeof turnHands)[number];

/** How a line runs where the coin stands upright: left end first, or lower end first. */
export const lineAlongs = ["level", "upright"] as const;
export type Along = (typeof lineAlongs)[number];

export const turnCalls = ["ordinary", "turned", "unclear"] as const;
export type Call = (typeof turnCalls)[number];

/** An angle with its standard uncertainty, degrees counterclockwise. */
export interface Turn {
  degrees: number;
  u: number;
}

/** A line on a side that says how the side is turned against upright. */
export interface Level {
  along: Along;
  points: readonly [Point, Point];
  /** How surely a hand set it, in pixels of the picture. */
  hand: number;
  /** Somebody has said so, and not only the screen where it begins. */
  laid: boolean;
  /** What a reference said in its place: turns that add up, the empty one for a picture that is taken for upright. */
  by?: readonly (Turn | Record<string, never>)[];
}

/** What a hand has done, and can take back. */
type Lines = Readonly<Partial<Record<Face, Level>>>;

/** A hunter's own picture of such a side. */
export interface Reference {
  picture: Picture;
  rim: Ellipse | null;
  /** The line that says how it is turned; null where it is taken for upright. */
  level: readonly [Point, Point] | null;
}

export type Doing =
  | { is: "idle" }
  | { is: "working"; done: number }
  | { is: "refused"; why: OverRefusal; face: Face };

export interface Told extends Turn {
  call: Call;
}

/** How far to both sides of the middle a line goes, of the coin's radius. */
const reach = 0.8;

/** A line level across a coin that is turned by so many degrees counterclockwise. */
export function across(rim: Ellipse, degrees: number): [Point, Point] {
  const at = (far: number): Point => {
    // The round coin's place along and across the ellipse's longer axis.
    const turn = ((degrees - rim.turn) * Math.PI) / 180;
    const [long, short] = [far * rim.a * Math.cos(turn), far * rim.b * Math.sin(turn)];
    const lies = (rim.turn * Math.PI) / 180;
    return {
      x: rim.x + long * Math.cos(lies) - short * Math.sin(lies),
      y: rim.y - long * Math.sin(lies) - short * Math.cos(lies),
    };
  };
  return [at(-reach), at(reach)];
}

/** A side's line as one that lies level, wherever it was laid. */
export function asLevel(rim: Ellipse, line: Pick<Level, "along" | "points">): readonly [Point, Point] {
  if (line.along === "level") return line.points;
  const [from, to] = line.points;
  const lies = (rim.turn * Math.PI) / 180;
  const [right, up] = [to.x - from.x, from.y - to.y];
  // Along and across the longer axis, where the round coin is as wide as long.
  const long = right * Math.cos(lies) + up * Math.sin(lies);
  const short = ((up * Math.cos(lies) - right * Math.sin(lies)) * rim.a) / rim.b;
  return across(rim, (Math.atan2(short, long) * 180) / Math.PI + rim.turn - 90);
}

/** By how much the reverse is turned against the obverse, each told by a line or a reference. */
export class SidesTurn {
  /** Which side the bench's picture shows. */
  readonly here: Signal<Face>;
  readonly other: Signal<Picture | null> = signal(null);
  readonly otherRim: Signal<Ellipse | null> = signal(null);
  readonly otherZoom = new Zoom();
  /** The side that lies on the glass. */
  readonly shown: Signal<Face>;
  readonly lines: Undoable<Lines>;
  /** The way such coins turn to stand upright on both sides; sure is false where the book isn't. */
  readonly struck: Signal<Way | null> = signal(null);
  readonly sure = signal(false);
  /** The way this one was turned over, where it is another one. */
  readonly turned: Signal<Way | null> = signal(null);
  readonly by: Signal<Hand> = signal("ruler");
  readonly doing: Signal<Doing> = signal({ is: "idle" });
  readonly says: Signal<Told | null> = signal(null);
  /** The place that is being moved by a finger. */
  readonly under: Signal<Point | null> = signal(null);
  readonly over: ReadonlySignal<Way | null> = computed(() => this.turned.value ?? this.struck.value);

  private bench: Bench;
  private pictures: Asks;
  private call: AbortController | null = null;
  private asked = "";
  private ended: () => void;

  constructor(bench: Bench, pictures: Asks, here: Face = "obverse") {
    this.bench = bench;
    this.pictures = pictures;
    this.here = signal(here);
    this.shown = signal(here);
    this.lines = new Undoable<Lines>({});
    this.ended = effect(() => this.workOut());
  }

  end(): void {
    this.ended();
    this.call?.abort();
    this.call = null;
    this.asked = "";
    const other = this.other.peek();
    if (other) this.pictures.forget(other.source);
  }

  stop(): void {
    this.call?.abort();
  }

  /** Asks how the country of a coin turns its coins. */
  async ofCoin(coin: { country: string; denomination: string; year?: number } | undefined): Promise<void> {
    const { country = "", denomination = "", year = 0 } = coin ?? {};
    const none = { over: "", sure: false };
    const answer = country
      ? await this.pictures.ask("struck", [], () => ({ country, denomination, year })).catch(() => none)
      : none;
    batch(() => {
      this.struck.value = oneOf(turnWays, answer.over) ?? this.struck.peek();
      this.sure.value = answer.sure === true;
    });
  }

  pictureOf(face: Face): { picture: Picture; rim: Ellipse | null; zoom: Zoom } | null {
    if (face === this.here.value) {
      return { picture: this.bench.picture, rim: this.bench.work.now.value.rim, zoom: this.bench.zoom };
    }
    const other = this.other.value;
    return other && { picture: other, rim: this.otherRim.value, zoom: this.otherZoom };
  }

  /** The line on a side: laid, or as it begins; null where the side has no rim yet. */
  lineOf(face: Face): Level | null {
    const line = this.lines.now.value[face];
    if (line) return line;
    const rim = this.pictureOf(face)?.rim;
    return rim ? { along: "level", points: across(rim, 0), hand: 1, laid: false } : null;
  }

  /** The bench's picture shows the other side. What was laid stays with its picture. */
  swap(): void {
    const { obverse, reverse } = this.lines.now.peek();
    batch(() => {
      this.here.value = otherFace(this.here.peek());
      this.shown.value = otherFace(this.shown.peek());
      this.lines.set({ ...(reverse && { obverse: reverse }), ...(obverse && { reverse: obverse }) });
    });
  }

  /** Takes the other side's picture and looks for its rim if that isn't known. */
  async take(other: Picture, rim: Ellipse | null): Promise<void> {
    const face = otherFace(this.here.peek());
    const before = this.other.peek();
    if (before) this.pictures.forget(before.source);
    const { [face]: _, ...kept } = this.lines.now.peek();
    batch(() => {
      this.lines.set(kept);
      this.other.value = other;
      this.otherRim.value = rim;
      this.shown.value = face;
    });
    this.otherZoom.show(other);
    if (!rim) await this.seek(face, other);
  }

  /** Looks for the rim of the other side again. */
  async seekAgain(): Promise<void> {
    const other = this.other.peek();
    if (other) await this.seek(otherFace(this.here.peek()), other);
  }

  private seek(face: Face, other: Picture): Promise<void> {
    return this.work(face, async (how) => {
      const found = await this.pictures.ask("rim", [other.source], ([picture]) => ({ picture }), how);
      const rim = words(found.why) ? null : readEllipse(found.rim);
      if (other !== this.other.peek()) return null;
      this.otherRim.value = rim;
      return rim ? null : "no-rim";
    });
  }

  /** The line lies rightly as it is. */
  affirm(face: Face): void {
    const line = this.lineOf(face);
    if (line) this.set(face, { ...line, laid: true });
  }

  move(face: Face, end: 0 | 1, to: Point): void {
    const line = this.lineOf(face);
    const at = this.pictureOf(face);
    if (!line || !at) return;
    const points: [Point, Point] = end === 0 ? [to, line.points[1]] : [line.points[0], to];
    const hand = handOf(at.zoom.view.peek().scale);
    this.set(face, { along: line.along, points, hand, laid: true }, `${face} ${end}`);
  }

  /** A line along something else, begun anew. */
  runs(face: Face, along: Along): void {
    const rim = this.pictureOf(face)?.rim;
    if (!rim || this.lineOf(face)?.along === along) return;
    this.set(face, { along, points: across(rim, along === "upright" ? 90 : 0), hand: 1, laid: false });
  }

  /** A line as it was kept. */
  keptLine(face: Face, points: readonly [Point, Point]): void {
    const lines = { ...this.lines.now.peek(), [face]: { along: "level", points, hand: 1, laid: true } };
    this.lines.mend(lines);
  }

  /** Lays a side's line by the hunter's own picture of such a side. */
  async byReference(face: Face, reference: Reference): Promise<void> {
    const at = this.pictureOf(face);
    if (!at?.rim) {
      this.doing.value = { is: "refused", why: "no-rim", face };
      return;
    }
    const { picture, rim } = at;
    await this.work(face, async (how) => {
      let otherRim = reference.rim;
      if (!otherRim) {
        const found = await this.pictures.ask(
          "rim",
          [reference.picture.source],
          ([n]) => ({ picture: n }),
          how,
        );
        otherRim = words(found.why) ? null : readEllipse(found.rim);
        if (!otherRim) return "no-rim";
      }
      const against = await this.pictures.ask(
        "over",
        [picture.source, reference.picture.source],
        ([n, over]) => ({ picture: n, over, rim, otherRim }),
        how,
      );
      const turn = readTurn(against);
      if (!turn) return oneOf(overRefusals, against.why) ?? "failed";
      const own = reference.level && (await this.levelOf(otherRim, "level", reference.level, 1));
      if (reference.level && !own) return "failed";
      const points = across(rim, turn.degrees + (own?.degrees ?? 0));
      this.set(face, { along: "level", points, hand: 1, laid: true, by: [turn, own ?? {}] });
      return null;
    });
    this.pictures.forget(reference.picture.source);
  }

  private set(face: Face, line: Level, go: string | null = null): void {
    this.lines.set({ ...this.lines.now.peek(), [face]: line }, go);
  }

  /** Does something that takes its time, in place of what was being done before. */
  private async work(
    face: Face,
    act: (how: { signal: AbortSignal; onProgress(done: number): void }) => Promise<OverRefusal | null>,
  ): Promise<void> {
    this.call?.abort();
    const call = new AbortController();
    this.call = call;
    const mine = () => call === this.call;
    this.doing.value = { is: "working", done: 0 };
    const onProgress = (done: number) => {
      if (mine()) this.doing.value = { is: "working", done };
    };
    const why = await act({ signal: call.signal, onProgress }).catch(
      (cause) => oneOf(overRefusals, noAnswerWhy(cause)) ?? "failed",
    );
    if (mine()) this.doing.value = why ? { is: "refused", why, face } : { is: "idle" };
  }

  private async levelOf(
    rim: Ellipse,
    along: Along,
    points: readonly [Point, Point],
    hand: number,
  ): Promise<Turn | null> {
    const line = points.map((p) => [p.x, p.y]);
    return readTurn(await this.pictures.ask("level", [], () => ({ rim, along, line, hand })));
  }

  /** The angle, whenever something that it follows from has changed; the newest only. */
  private workOut(): void {
    const question = {
      sides: faces.map((face) => ({ rim: this.pictureOf(face)?.rim ?? null, line: this.lineOf(face) })),
      over: this.over.value,
      struck: this.struck.value,
      by: this.by.value,
    };
    const asked = JSON.stringify(question);
    if (asked === this.asked) return;
    this.asked = asked;
    const { sides, ...how } = question;
    if (how.over && sides.every(({ rim, line }) => rim && line?.laid)) void this.tell(sides, how, asked);
    else this.says.value = null;
  }

  private async tell(
    sides: readonly { rim: Ellipse | null; line: Level | null }[],
    how: object,
    asked: string,
  ): Promise<void> {
    const turns: object[][] = [];
    try {
      for (const { rim, line } of sides) {
        if (!rim || !line) return;
        const turn = line.by ?? [await this.levelOf(rim, line.along, line.points, line.hand)];
        turns.push(turn.flatMap((t) => (t ? [t] : [])));
      }
      const [obverse, reverse] = turns;
      const answer = await this.pictures.ask("between", [], () => ({ obverse, reverse, ...how }));
      if (asked !== this.asked) return;
      const [turn, call] = [readTurn(answer), oneOf(turnCalls, answer.call)];
      this.says.value = turn && call ? { ...turn, call } : null;
    } catch {
      if (asked !== this.asked) return;
      // Asked again with the next change.
      this.asked = "";
      this.says.value = null;
    }
  }
}

function readTurn(answer: Record<string, unknown>): Turn | null {
  const [degrees, u] = [number(answer.degrees), number(answer.u)];
  return words(answer.why) || degrees === null || u === null ? null : { degrees, u };
}

/** The two places of a line as they are kept. */
export const readLine = (x: unknown): [Point, Point] | null => {
  const [a, b] = list(x).flatMap((p) => {
    const [px, py] = [number(list(p)[0]), number(list(p)[1])];
    return px === null || py === null ? [] : [{ x: px, y: py }];
  });
  return a && b ? [a, b] : null;
};
