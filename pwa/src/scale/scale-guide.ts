import { batch, computed, type Signal, signal } from "@preact/signals";
import type { CoreClient } from "../core/client";
import { readScaleCheck, type ScaleCheck } from "../core/scale-check";
import { keptSignal, type Shelf } from "../device/kept";
import type { Reading } from "../weigh/reading";
import {
  aloneEveryS,
  aloneForS,
  checkQuestion,
  type Draft,
  freshDraft,
  type KitWeight,
  nextPlacement,
  type Placed,
  readDraft,
  weightQuestion,
} from "./scale-record";
import { type Rest, RestWatch } from "./scale-rest";

/** What the person is asked to do now. */
export type Asked = "empty" | "put" | "lift" | "wait";

/** What was just taken, or why it wasn't. */
export type Said =
  | { is: "taken"; shown: string; unit: string }
  | { is: "refused"; sentence: string }
  | { is: "unit" }
  | { is: "scale" }
  | null;

/**
 * Leads through a check of the scale: everything off, a weight on, off again,
 * and so on, each reading taken by itself once the display rests. The core is
 * asked after every reading, so that one that can't be right is refused while
 * the weight is still in hand.
 */
export class ScaleGuide {
  readonly draft: Signal<Draft>;
  readonly asked: Signal<Asked> = signal("empty");
  readonly said: Signal<Said> = signal(null);
  /** The core's answer to all that was taken so far. */
  readonly result: Signal<ScaleCheck | null> = signal(null);
  /** Numbers are typed; the live weight is left alone. */
  readonly byHand: Signal<boolean> = signal(false);
  /** What the empty pan showed before the weight that comes now. */
  readonly zero: Signal<string> = signal("");
  /** How long the scale has been left alone, in seconds. */
  readonly alone: Signal<number> = signal(0);
  /** For whom the last check was kept: the connected scale, or one that was named. */
  readonly keptFor: Signal<"connected" | "named" | null> = signal(null);
  readonly next = computed(() => nextPlacement(this.draft.value));

  private core: Pick<CoreClient, "call">;
  private rest = new RestWatch();
  private aloneSince: number | null = null;
  private turn = 0;

  constructor(core: Pick<CoreClient, "call">, shelf: Shelf) {
    this.core = core;
    this.draft = keptSignal<Draft>(shelf, "panside.scale-check", readDraft);
    if (this.draft.value.readings.length > 0) void this.ask(this.draft.value);
  }

  /** Looks whether every weight can be what it is said to be, then begins. Gives the fault’s field and sentence. */
  async begin(weights: KitWeight[], times: number): Promise<{ field: string; sentence: string } | null> {
    for (const [i, w] of weights.entries()) {
      const answer = await this.core.call("scale-check", weightQuestion(w));
      if (!("error" in answer)) continue;
      const field = answer.error.field ?? "";
      if (!field.startsWith("readings")) {
        return { field: field.replace("weights.0", `weights.${i}`), sentence: answer.error.sentence };
      }
    }
    const { temperature, place } = this.draft.value;
    this.reset({ ...freshDraft(), at: "middle", weights, times, temperature, place });
    return null;
  }

  /** Throws the readings away; the weights stay. */
  restart(): void {
    const { weights, times, temperature, place } = this.draft.value;
    this.reset({ ...freshDraft(), weights, times, temperature, place });
  }

  /** The check was kept; the next one begins anew. */
  kept(whose: "connected" | "named"): void {
    this.restart();
    this.keptFor.value = whose;
  }

  private reset(draft: Draft): void {
    this.turn++;
    this.keptFor.value = null;
    this.rest.reset();
    batch(() => {
      this.draft.value = draft;
      this.result.value = null;
      this.said.value = null;
      this.asked.value = "empty";
      this.zero.value = "";
    });
  }

  /** Goes to another part of the check. */
  go(at: Draft["at"]): void {
    this.turn++;
    this.aloneSince = null;
    this.rest.reset();
    batch(() => {
      this.draft.value = { ...this.draft.value, at, ...(at === "alone" ? { untouched: [] } : {}) };
      this.said.value = null;
      this.alone.value = 0;
      this.asked.value = "empty";
    });
  }

  /** The newest reading of the live stream; now in ms, of a steady clock. */
  live(r: Reading, now: number): void {
    if (this.byHand.value) return;
    const { at } = this.draft.value;
    if (at !== "middle" && at !== "edges" && at !== "alone") return;
    const rest = this.rest.offer(r, now);
    if (at === "alone") this.watchAlone(r, rest, now);
    else if (rest && this.next.value) this.rested(rest);
  }

  private rested(rest: Rest): void {
    if (this.asked.value === "wait") return;
    if (rest.phase === "empty") {
      // A refused reading stays explained until the weight is on again.
      this.zero.value = rest.shown;
      this.asked.value = "put";
      return;
    }
    if (this.asked.value !== "put") return;
    const other = this.otherScale(rest);
    if (other) {
      this.said.value = other;
      this.asked.value = "lift";
      return;
    }
    void this.place(rest.shown, this.zero.value, rest);
  }

  /** Unit and scale must stay those of the first reading. */
  private otherScale(rest: Rest): Said {
    const d = this.draft.value;
    if (d.unit && rest.unit !== d.unit) return { is: "unit" };
    if (d.scale && (rest.scale.name !== d.scale.name || rest.scale.dialect !== d.scale.dialect))
      return { is: "scale" };
    return null;
  }

  /** Takes a display typed by hand; an empty pan that isn’t given showed zero. */
  async typed(shown: string, zero: string): Promise<void> {
    if (this.next.value && this.asked.value !== "wait") await this.place(shown, zero || "0", null);
  }

  private async place(shown: string, zero: string, from: Rest | null): Promise<void> {
    const next = this.next.value;
    if (!next) return;
    const before = this.draft.value;
    const placed: Placed = { weight: next.weight, shown, zero };
    const draft: Draft = { ...before };
    if (next.edge === null) draft.readings = [...before.readings, placed];
    else draft.offCentre = [...before.offCentre, placed];
    if (from && !draft.unit) {
      draft.unit = from.unit;
      draft.scale = from.scale;
      // The step that was named by hand may be coarser than the digits.
      if (from.unit === "g" && from.resolution)
        draft.resolution = String(Number(from.resolution.toPrecision(6)));
    }
    this.asked.value = "wait";
    const good = await this.ask(draft);
    if (good === null) return; // gone elsewhere meanwhile
    batch(() => {
      if (good) this.said.value = { is: "taken", shown, unit: draft.unit || "g" };
      // Typed numbers wait for no pan.
      this.asked.value = from ? "lift" : "put";
      if (good && !this.next.value) this.go("further");
    });
  }

  /** Asks the core about a draft, and makes it the one that counts if it can be right. Null: no longer wanted. */
  private async ask(draft: Draft): Promise<boolean | null> {
    const mine = ++this.turn;
    const answer = await this.core.call("scale-check", checkQuestion(draft));
    if (mine !== this.turn) return null;
    if ("error" in answer) {
      this.said.value = { is: "refused", sentence: bare(answer.error.sentence) };
      return false;
    }
    batch(() => {
      this.draft.value = draft;
      this.result.value = readScaleCheck(answer.ok);
    });
    return true;
  }

  private watchAlone(r: Reading, rest: Rest | null, now: number): void {
    if (this.aloneSince === null) {
      if (!rest) return;
      if (this.otherScale(rest)) {
        this.said.value = this.otherScale(rest);
        return;
      }
      this.aloneSince = now;
      this.said.value = null;
      this.draft.value = { ...this.draft.value, untouched: [{ after_s: 0, shown: rest.shown }] };
      return;
    }
    const seconds = (now - this.aloneSince) / 1000;
    this.alone.value = seconds;
    const list = this.draft.value.untouched;
    const last = list.at(-1);
    if (!last || seconds - last.after_s < aloneEveryS || this.asked.value === "wait") return;
    if (r.is !== "weight" || r.stale || r.shown === null) return;
    void this.takeAlone(seconds, r.shown);
  }

  private async takeAlone(seconds: number, shown: string): Promise<void> {
    const d = this.draft.value;
    const moment = { after_s: Math.round(seconds * 10) / 10, shown };
    this.asked.value = "wait";
    const good = await this.ask({ ...d, untouched: [...d.untouched, moment] });
    if (good === null) return;
    this.asked.value = "empty";
    if (!good) {
      // Knocked: it begins anew, and the reason stays.
      this.aloneSince = null;
      this.rest.reset();
      this.alone.value = 0;
      this.draft.value = { ...this.draft.value, untouched: [] };
    } else if (seconds >= aloneForS) this.go("further");
  }

  /** Whether the untouched scale was watched for long enough, as the core says. */
  get aloneEnough(): boolean {
    return this.draft.value.untouched.length > 1 && this.result.value?.drift === true;
  }

  /** Ends watching the untouched scale; too short a time counts for nothing. */
  endAlone(): void {
    if (!this.aloneEnough) this.draft.value = { ...this.draft.value, untouched: [] };
    this.go("further");
    void this.ask(this.draft.value);
  }

  /** Takes the last reading back. */
  async undo(): Promise<void> {
    const d = this.draft.value;
    const edge = d.offCentre.length > 0;
    const back: Draft = {
      ...d,
      at: edge ? "edges" : "middle",
      untouched: [],
      readings: edge ? d.readings : d.readings.slice(0, -1),
      offCentre: d.offCentre.slice(0, -1),
    };
    if (back.readings.length === 0) {
      this.reset({ ...back, unit: "", resolution: "", scale: null });
      return;
    }
    this.turn++;
    this.rest.reset();
    batch(() => {
      this.draft.value = back;
      this.said.value = null;
      this.asked.value = this.byHand.value ? "put" : "empty";
    });
    await this.ask(back);
  }

  /** Day and place, then the result. False: one of them can't be; said tells why. */
  async finish(temperature: string, place: string): Promise<boolean> {
    const good = await this.ask({ ...this.draft.value, temperature, place });
    if (good) this.draft.value = { ...this.draft.value, at: "result" };
    return good === true;
  }
}

/** The core speaks of a whole computation; here one reading is refused. */
const bare = (sentence: string): string => sentence.replace(/ Nothing was computed\.$/, "");
