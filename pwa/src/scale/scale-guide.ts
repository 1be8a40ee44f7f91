import { batch, computed, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import type { CoreClient } from "../core/client";
import { fields, words } from "../core/json";
import { readScaleCheck, type ScaleCheck } from "../core/scale-check";
import { type LocalStorage, storedSignal } from "../device/local-storage";
import type { Reading } from "../weigh/reading";
import {
  type Ask,
  type Draft,
  type KitWeight,
  keptDraft,
  readAsk,
  readDraft,
  readSaid,
  type Said,
  sheetWeight,
} from "./scale-record";

/** Where a check stands, as the core handed it out; it is handed back as it came. */
interface Standing {
  moment: unknown;
  ask: Ask | null;
  said: Said | null;
  byHand: boolean;
  /** How long the scale has been left alone, in seconds. */
  alone: number;
}

interface Waiting {
  /** Null asks only where the check stands. */
  event: Record<string, unknown> | null;
  /** Of what the person does; what the scale shows needs no answer. */
  answered?: (refused: Refused | null) => void;
}

export interface Refused {
  field: string;
  /** Empty where nobody could answer. */
  sentence: string;
}

/** A display that stays as it is goes to the core this often: it is the time that counts then. In ms. */
const everyMs = 250;

const unanswered: Said = { is: "refused", shown: "", unit: "", sentence: "" };

/**
 * Shows the core’s guide through a check of the scale what the scale shows and what
 * the person does, one after the other, and keeps what it hands back. What to ask,
 * what is taken and what is refused is decided there.
 */
export class ScaleGuide {
  readonly draft: ReadonlySignal<Draft>;
  readonly ask: ReadonlySignal<Ask | null>;
  readonly said: ReadonlySignal<Said | null>;
  /** Numbers are typed; the live weight is left alone. */
  readonly byHand: ReadonlySignal<boolean>;
  readonly alone: ReadonlySignal<number>;
  /** The core's answer to all that was taken so far. */
  readonly result: Signal<ScaleCheck | null> = signal(null);
  /** For whom the last check was kept: the connected scale, or one that was named. */
  readonly keptFor: Signal<"connected" | "named" | null> = signal(null);
  /** What is sent to the laptop to be kept. */
  check: unknown = null;

  private core: Pick<CoreClient, "call">;
  private kept: Signal<unknown>;
  private standing = signal<Standing>({ moment: null, ask: null, said: null, byHand: false, alone: 0 });
  private waiting: Waiting[] = [];
  private asking = false;
  /** The display that was told last, and when. */
  private shown = { what: "", at: 0 };
  /** Displays were lost on the way to a core: what rests is judged anew. */
  private lost = false;

  constructor(core: Pick<CoreClient, "call">, storage: LocalStorage) {
    this.core = core;
    this.kept = storedSignal<unknown>(storage, "panside.scale-check", keptDraft);
    this.draft = computed(() => readDraft(this.kept.value));
    this.ask = computed(() => this.standing.value.ask);
    this.said = computed(() => this.standing.value.said);
    this.byHand = computed(() => this.standing.value.byHand);
    this.alone = computed(() => this.standing.value.alone);
    void this.resume();
  }

  /** Looks whether every weight can be what it is said to be, then begins. */
  begin(weights: KitWeight[], times: number): Promise<Refused | null> {
    return this.do({ do: "begin", weights: weights.map(sheetWeight), times });
  }

  /** Throws the readings away; the weights stay. */
  restart(): Promise<Refused | null> {
    return this.do({ do: "restart" });
  }

  /** Takes the last reading back. */
  undo(): Promise<Refused | null> {
    return this.do({ do: "undo" });
  }

  /** Goes on with what else may be measured, or ends it. */
  go(to: "edges" | "alone" | "end"): Promise<Refused | null> {
    return this.do({ do: to });
  }

  typeDisplays(byHand: boolean): Promise<Refused | null> {
    return this.do({ do: "by-hand", by_hand: byHand });
  }

  /** Takes a display typed by hand; an empty pan that isn’t given showed zero. */
  typed(shown: string, zero: string): Promise<Refused | null> {
    return this.do({ do: "type", shown, zero });
  }

  /** Day and place, then the result. */
  finish(temperature: string, place: string): Promise<Refused | null> {
    return this.do({ do: "finish", temperature_c: temperature, place });
  }

  /** The check was kept; the next one begins anew. */
  async keptOnLaptop(whose: "connected" | "named"): Promise<void> {
    await this.restart();
    this.keptFor.value = whose;
  }

  /** The newest reading of the live stream; now in ms, of a steady clock. */
  live(r: Reading, now: number): void {
    const { at } = this.draft.value;
    if (this.byHand.value || (at !== "middle" && at !== "edges" && at !== "alone")) return;
    const event = display(r, now);
    const what = JSON.stringify({ ...event, at: 0 });
    if (what === this.shown.what && now - this.shown.at < everyMs) return;
    this.shown = { what, at: now };
    this.waiting.push({ event });
    void this.answerAll();
  }

  private do(event: Record<string, unknown> | null): Promise<Refused | null> {
    this.keptFor.value = null;
    return new Promise((answered) => {
      this.waiting.push({ event, answered });
      void this.answerAll();
    });
  }

  /** Asks for all that waits, in its order, so that nothing from before a restart comes after it. */
  private async answerAll(): Promise<void> {
    if (this.asking) return;
    this.asking = true;
    for (let next = this.take(); next.length > 0; next = this.take()) {
      const refused = await this.tell(next.flatMap((w) => (w.event ? [w.event] : [])));
      for (const w of next) w.answered?.(refused);
    }
    this.asking = false;
  }

  /** What goes in one question: displays together, what a person does by itself. */
  private take(): Waiting[] {
    const act = this.waiting.findIndex((w) => w.answered);
    return this.waiting.splice(0, act === 0 ? 1 : act < 0 ? this.waiting.length : act);
  }

  /** Where the check stands and what was found so far, from a core that speaks another language now. */
  async sayAgain(): Promise<void> {
    await this.resume();
  }

  private resume(): Promise<Refused | null> {
    return readDraft(this.kept.value).weights.length > 0 ? this.do(null) : Promise.resolve(null);
  }

  private async tell(events: Record<string, unknown>[]): Promise<Refused | null> {
    const { moment } = this.standing.value;
    const answer = await this.core.call("scale-guide", {
      draft: this.kept.value,
      moment,
      events: this.lost ? [{ do: "show" }, ...events] : events,
    });
    if ("error" in answer) {
      this.lost = true;
      this.standing.value = { ...this.standing.value, said: unanswered };
      return { field: "", sentence: answer.error.sentence };
    }
    this.lost = false;
    const ok = fields(answer.ok);
    const now = fields(ok.moment);
    const watch = fields(now.watch);
    batch(() => {
      if (JSON.stringify(ok.draft) !== JSON.stringify(this.kept.value)) this.kept.value = ok.draft;
      if (ok.check || this.draft.value.readings.length === 0) {
        this.check = ok.check ?? null;
        this.result.value = readScaleCheck(ok.result);
      }
      this.standing.value = {
        moment: ok.moment,
        ask: readAsk(ok.ask),
        said: readSaid(now.said),
        byHand: now.by_hand === true,
        alone: typeof watch.seconds === "number" ? watch.seconds : 0,
      };
    });
    const refused = fields(ok.refused);
    return words(refused.sentence)
      ? { field: words(refused.field), sentence: words(refused.sentence) }
      : null;
  }

  /** Whether the untouched scale was watched for long enough, as the core says. */
  get aloneEnough(): boolean {
    return this.result.value?.drift === true;
  }
}

/** What the scale shows, as the core takes it. */
function display(r: Reading, now: number): Record<string, unknown> {
  const show = { do: "show", at: Math.round(now) };
  if (r.is === "problem") return { ...show, problem: r.problem.sentence };
  if (r.is !== "weight" || r.stale) return show;
  return {
    ...show,
    phase: r.phase,
    ...(r.shown === null ? {} : { shown: r.shown }),
    unit: r.unit,
    status: r.status,
    ...(r.resolution === null ? {} : { resolution_g: r.resolution }),
    placement: r.load?.placement ?? 0,
    scale: { name: r.scale?.name ?? "", format: r.scale?.format ?? "" },
  };
}
