import { batch, effect, type Signal, signal } from "@preact/signals";
import { fields, number, oneOf, words } from "../core/json";
import { type Asks, noAnswerWhy, type Source } from "../senses/pictures";
import { Undoable } from "./undo";
import {
  type Ellipse,
  edgeOf,
  handOf,
  type Length,
  type Mark,
  nothingYet,
  type Rim,
  readEllipse,
  readLength,
  readPoints,
  type Work,
} from "./work";
import { type Point, Zoom } from "./zoom";

/** A picture that is looked at, decoded and upright. Its bytes stay as they are. */
export interface Picture {
  /** What it is known by: the SHA-256 of a find's photo, or a name of this visit. */
  name: string;
  width: number;
  height: number;
  /** To be drawn. */
  bitmap: CanvasImageSource;
  source: Source;
}

/** Why no rim was found, by the words of internal/rim, and what keeps the program from an answer. */
export const rimRefusals = [
  "none",
  "two",
  "cut-off",
  "doubt",
  "blurred",
  "small",
  "in-one-line",
  "stopped",
  "left",
  "failed",
] as const;
export type RimRefusal = (typeof rimRefusals)[number];

/** How far the search for the rim is. */
export type Seeking = { is: "idle" } | { is: "seeking"; done: number } | { is: "refused"; why: RimRefusal };

const refusalOf = (why: unknown): RimRefusal => oneOf(rimRefusals, why) ?? "failed";

/** One picture with its rim and the rulers that lie on it. */
export class Bench {
  readonly zoom = new Zoom();
  readonly picture: Picture;
  readonly work: Undoable<Work>;
  readonly seeking: Signal<Seeking> = signal({ is: "idle" });
  /** The coin's diameter, mm, which gives the picture its scale; null where it isn't known. */
  readonly diameter: Signal<number | null> = signal(null);
  /** Another outline is nearly as good, so this one is to be looked at. */
  readonly check = signal(false);
  /** The coin stands on a screen, so this isn't a picture of it. */
  readonly screen = signal(false);
  /** What each ruler says, by its name; nothing while it is worked out or can't be. */
  readonly says: Signal<ReadonlyMap<string, Length>> = signal(new Map());
  /** The ruler that is in hand. */
  readonly chosen: Signal<string> = signal("");
  /** The place that is being moved by a finger, to be shown larger; null for none. */
  readonly under: Signal<Point | null> = signal(null);

  private pictures: Asks;
  private search: AbortController | null = null;
  /** What was found of a rim that isn't to be trusted. */
  private nearly: Ellipse | null = null;
  private mending = 0;
  private asked = new Map<string, string>();
  private stopped: () => void;

  constructor(picture: Picture, pictures: Asks, first: Work = nothingYet) {
    this.picture = picture;
    this.pictures = pictures;
    this.work = new Undoable(first);
    this.zoom.show(picture);
    this.stopped = effect(() => this.measureAll());
    const edge = edgeOf(first.rim);
    if (edge && first.held.length === 0) void this.holdAgain(edge);
  }

  /** The picture isn't looked at any more. */
  end(): void {
    this.stopped();
    this.search?.abort();
    this.pictures.forget(this.picture.source);
  }

  /** Looks for the rim in the picture; of the coin at a place, if one is named. */
  async seek(at: Point | null = null): Promise<void> {
    this.search?.abort();
    const search = new AbortController();
    this.search = search;
    this.seeking.value = { is: "seeking", done: 0 };
    const mine = () => search === this.search;
    const asked = ([picture]: number[]) => ({ picture, ...(at && { at: [[at.x, at.y]] }) });
    this.nearly = null;
    try {
      const answer = await this.pictures.ask("rim", [this.picture.source], asked, {
        signal: search.signal,
        onProgress: (done) => {
          if (mine()) this.seeking.value = { is: "seeking", done };
        },
      });
      if (!mine()) return;
      const rim = readEllipse(answer.rim);
      if (words(answer.why) || !rim) {
        this.nearly = rim;
        this.seeking.value = { is: "refused", why: refusalOf(answer.why) };
        return;
      }
      batch(() => {
        this.seeking.value = { is: "idle" };
        this.check.value = answer.check === true;
        this.screen.value = answer.screen === true;
        const [covered, u] = [number(answer.covered) ?? 0, number(answer.u)];
        this.set({ rim: { ...rim, by: "found", covered, ...(u && { u }) }, held: readPoints(answer.held) });
      });
    } catch (cause) {
      if (mine()) this.seeking.value = { is: "refused", why: refusalOf(noAnswerWhy(cause)) };
    }
  }

  stopSeeking(): void {
    this.search?.abort();
  }

  /** Takes a scale that came another way than by the edge that is seen. */
  scaleBy(rim: Rim): void {
    this.stopSeeking();
    this.search = null;
    batch(() => {
      this.seeking.value = { is: "idle" };
      this.check.value = false;
      this.set({ rim, held: [] });
    });
  }

  /** What the rim measures across, mm; null where it isn’t known. */
  get across(): number | null {
    return this.work.now.value.rim?.mm ?? this.diameter.value;
  }

  /** A rim to be mended by hand, where none was found: what was nearly one, else a circle. */
  byHand(): void {
    const { width, height } = this.picture;
    const r = 0.4 * Math.min(width, height);
    const start = this.nearly ?? { x: width / 2, y: height / 2, a: r, b: r, turn: 0 };
    const rim: Rim = { ...start, by: "hand", covered: 1 };
    batch(() => {
      this.seeking.value = { is: "idle" };
      this.set({ rim, held: [] });
    });
    void this.holdAgain(rim);
  }

  /** Moves one of the three places that the rim is held by; the program draws it through them. */
  moveHeld(n: number, to: Point): void {
    const { rim, held } = this.work.now.peek();
    if (!rim || held.length !== 3) return;
    const moved = held.map((p, i) => (i === n ? to : p));
    this.set({ held: moved }, `held ${n}`);
    void this.through(rim, moved);
  }

  addMark(mark: Mark): void {
    batch(() => {
      this.set({ marks: [...this.work.now.peek().marks, mark] });
      this.chosen.value = mark.id;
    });
  }

  changeMark(mark: Mark, go: string | null = null): void {
    this.set({ marks: this.work.now.peek().marks.map((m) => (m.id === mark.id ? mark : m)) }, go);
  }

  movePoint(id: string, n: number, to: Point): void {
    const mark = this.work.now.peek().marks.find((m) => m.id === id);
    if (!mark) return;
    const points = mark.points.map((p, i) => (i === n ? to : p));
    this.changeMark({ ...mark, points, hand: handOf(this.zoom.view.peek().scale) }, `${id} ${n}`);
  }

  dropMark(id: string): void {
    this.set({ marks: this.work.now.peek().marks.filter((m) => m.id !== id) });
  }

  private set(change: Partial<Work>, go: string | null = null): void {
    this.work.set({ ...this.work.now.peek(), ...change }, go);
  }

  /** The rim's three places, where it came without them. */
  private async holdAgain(rim: Rim): Promise<void> {
    try {
      const { held } = await this.pictures.ask("held", [], () => ({ rim }));
      const now = this.work.now.peek();
      if (now.rim === rim) this.work.mend({ ...now, held: readPoints(held) });
    } catch {
      // Without them the rim stands, and can be sought anew.
    }
  }

  private async through(start: Rim, held: readonly Point[]): Promise<void> {
    const mine = ++this.mending;
    try {
      const question = { rim: start, held: held.map((p) => [p.x, p.y]) };
      const answer = await this.pictures.ask("through", [], () => question);
      if (mine !== this.mending) return; // the finger is farther by now
      const rim = readEllipse(answer.rim);
      if (words(answer.why) || !rim) {
        this.seeking.value = { is: "refused", why: refusalOf(answer.why) };
        return;
      }
      batch(() => {
        this.seeking.value = { is: "idle" };
        // The drag it answers is in the history already.
        this.work.mend({ ...this.work.now.peek(), rim: { ...rim, by: "hand", covered: 1 } });
      });
    } catch (cause) {
      if (mine === this.mending) this.seeking.value = { is: "refused", why: refusalOf(noAnswerWhy(cause)) };
    }
  }

  /** Every ruler that says something else by now is measured again, the newest state of each only. */
  private measureAll(): void {
    const { rim, marks } = this.work.now.value;
    const mm = this.across;
    for (const id of [...this.asked.keys()]) {
      if (!marks.some((m) => m.id === id)) this.asked.delete(id);
    }
    for (const mark of marks) {
      const question = {
        rim,
        mm,
        hand: mark.hand,
        is: mark.is,
        points: mark.points.map((p) => [p.x, p.y]),
      };
      const asked = JSON.stringify(question);
      if (this.asked.get(mark.id) === asked) continue;
      this.asked.set(mark.id, asked);
      if (rim && mm) void this.measure(mark.id, question, asked);
      else this.said(mark.id, null);
    }
  }

  private async measure(id: string, question: object, asked: string): Promise<void> {
    const answer = await this.pictures.ask("measure", [], () => question).catch(() => null);
    if (this.asked.get(id) !== asked) return;
    const says = answer && !words(fields(answer).why) ? readLength(answer) : null;
    // Of a circle that stands for a scale there is no share.
    if (says && this.work.now.peek().rim?.by === "ruler") delete says.share;
    this.said(id, says);
  }

  private said(id: string, length: Length | null): void {
    const says = new Map(this.says.peek());
    if (length) says.set(id, length);
    else says.delete(id);
    this.says.value = says;
  }
}
