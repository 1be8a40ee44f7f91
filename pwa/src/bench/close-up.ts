import { batch, type Signal, signal } from "@preact/signals";
import { number, oneOf, words } from "../core/json";
import { type Asks, noAnswerWhy } from "../senses/pictures";
import type { Bench, Picture } from "./bench";
import { overRefusals } from "./over";
import { type Ellipse, readEllipse, readPoints } from "./work";
import type { Point } from "./zoom";

/** Why a close-up isn’t found on any whole picture: that there is none, or as one isn’t laid over another. */
export const closeUpRefusals = ["none-there", ...overRefusals] as const;
export type CloseUpRefusal = (typeof closeUpRefusals)[number];

/** A picture of the whole coin, with its rim if that is known. */
export interface Whole {
  picture: Picture;
  rim: Ellipse | null;
}

/** Such pictures, the likeliest first; each is opened when its turn comes. */
export type Wholes = readonly (() => Promise<Whole | null>)[];

export type Finding =
  | { is: "idle" }
  | { is: "finding"; done: number }
  | { is: "refused"; why: CloseUpRefusal }
  | {
      is: "found";
      whole: Picture;
      /** Its corners on the whole picture. */
      outline: readonly Point[];
      /** By how much it is turned, degrees counterclockwise. */
      degrees: number;
      /** Relative standard uncertainty of its scale. */
      u: number;
    };

/** A close-up on the bench, to be found on a picture of the whole coin, which gives it millimeters. */
export class CloseUp {
  readonly finding: Signal<Finding> = signal({ is: "idle" });
  private bench: Bench;
  private pictures: Asks;
  private call: AbortController | null = null;
  private held: Picture | null = null;

  constructor(bench: Bench, pictures: Asks) {
    this.bench = bench;
    this.pictures = pictures;
  }

  end(): void {
    this.call?.abort();
    this.release();
  }

  stop(): void {
    this.call?.abort();
  }

  /** Looks for it on one whole picture after another, until it is found. */
  async find(wholes: Wholes): Promise<void> {
    this.stop();
    const call = new AbortController();
    this.call = call;
    const current = () => call === this.call;
    this.finding.value = { is: "finding", done: 0 };
    let why: string = "none-there";
    try {
      for (const [n, open] of wholes.entries()) {
        const tell = (done: number) => {
          if (current()) this.finding.value = { is: "finding", done: (n + done) / wholes.length };
        };
        tell(0);
        const whole = await open().catch(() => null);
        if (!current()) return;
        if (call.signal.aborted) {
          this.refuse("stopped");
          return;
        }
        if (!whole) continue;
        this.release();
        this.held = whole.picture;
        const said = await this.on(whole, { signal: call.signal, onProgress: tell }, current);
        if (said === "") return;
        why = said;
      }
      if (current()) this.refuse(why);
    } catch (cause) {
      if (current()) this.refuse(noAnswerWhy(cause));
    }
  }

  /** Why it isn’t found on one, empty if it is. */
  private async on(
    { picture, rim }: Whole,
    how: { signal: AbortSignal; onProgress(done: number): void },
    current: () => boolean,
  ): Promise<string> {
    let wholeRim = rim;
    if (!wholeRim) {
      const found = await this.pictures.ask("rim", [picture.source], ([n]) => ({ picture: n }), {
        signal: how.signal,
      });
      wholeRim = words(found.why) ? null : readEllipse(found.rim);
      const u = number(found.u);
      if (wholeRim && u) wholeRim = { ...wholeRim, u } as Ellipse;
      if (!wholeRim) return "no-rim";
    }
    const answer = await this.pictures.ask(
      "close-up",
      [this.bench.picture.source, picture.source],
      ([part, whole]) => ({ picture: part, whole, wholeRim }),
      how,
    );
    const lies = readEllipse(answer.rim);
    if (!current()) return "";
    if (words(answer.why) || !lies) return words(answer.why) || "failed";
    const u = number(answer.u) ?? 0;
    batch(() => {
      this.finding.value = {
        is: "found",
        whole: picture,
        outline: readPoints(answer.outline),
        degrees: number(answer.degrees) ?? 0,
        u,
      };
      this.bench.scaleBy({ ...lies, by: "close-up", covered: 1, u });
    });
    return "";
  }

  private release(): void {
    if (this.held) this.pictures.forget(this.held.source);
    this.held = null;
  }

  private refuse(why: string): void {
    this.finding.value = { is: "refused", why: oneOf(closeUpRefusals, why) ?? "failed" };
  }
}
