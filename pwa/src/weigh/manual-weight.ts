import { batch, computed, effect, type Signal, signal } from "@preact/signals";
import type { CoreClient } from "../core/client";
import { readVerdict } from "../core/read";
import type { CoreFault } from "../core/types";
import { type LocalStorage, storedSignal } from "../device/local-storage";
import type { Placement } from "../live/wire";
import { decimalsIn, lackOf, press, type Step, steps } from "./digits";
import { askedFor, inWords, type Shown } from "./live-verdict";

/** What is asked of a typed weight beside its digits. */
export interface Subject {
  country: string;
  denomination: string;
  year: number;
  mint: string;
  evidence?: Record<string, string>;
  keep?: string[];
  source?: string;
}

/** Only digits that have rested this long are announced, so that half a number isn't. In ms. */
export const restMs = 800;

/**
 * Weights typed from a scale without a cable. The core gets the digits and the
 * scale's step, and works out the uncertainty as it does for the live weight.
 */
export class ManualWeight {
  /** Weights are typed now; the live weight waits. */
  readonly on: Signal<boolean>;
  /** The scale's step; kept, since a person has one scale. */
  readonly step: Signal<Step>;
  readonly digits: Signal<string> = signal("");
  /** The digits were read by the camera and confirmed by a tap, not typed. */
  readonly byCamera: Signal<boolean> = signal(false);
  /** What they are judged with: the display’s own last digit where the camera read it. */
  private readonly counts = computed<Step>(() => (this.byCamera.value ? "" : this.step.value));
  readonly lack = computed(() => lackOf(this.digits.value, this.counts.value));
  readonly current: Signal<Shown | null> = signal(null);
  readonly last: Signal<Shown | null> = signal(null);
  readonly fault: Signal<CoreFault | null> = signal(null);
  /** The verdict of digits that have rested: the one to say aloud. */
  readonly rested: Signal<Shown | null> = signal(null);

  private core: CoreClient;
  private coins = 1;
  private asking = 0;
  private rest: ReturnType<typeof setTimeout> | undefined;

  /** subject gives what the digits are judged for; null when no denomination is picked. */
  constructor(core: CoreClient, storage: LocalStorage, subject: () => Subject | null) {
    this.core = core;
    this.on = storedSignal<boolean>(storage, "panside.typing", (k) => k === true);
    this.step = storedSignal<Step>(storage, "panside.step", (k) => steps.find((s) => s === k) ?? "");
    effect(() => {
      const asked = this.on.value && this.lack.value.is === "complete" ? subject() : null;
      const [digits, step] = [this.digits.value, this.counts.value];
      void core.language.value; // what stands there is said anew
      void this.judge(asked, digits, step);
    });
  }

  /** Counts typed coins below zero, so that none is taken for a load on the pan. */
  get placement(): Placement {
    return -this.coins as Placement;
  }

  /** The coin whose digits are begun. */
  get coin(): Placement | null {
    return this.digits.value === "" ? null : this.placement;
  }

  press(key: string): void {
    batch(() => {
      this.digits.value = press(this.digits.value, key, this.step.value);
      this.byCamera.value = false;
    });
  }

  undo(): void {
    batch(() => {
      this.digits.value = this.digits.value.slice(0, -1);
      this.byCamera.value = false;
    });
  }

  /** The next coin’s digits, as the camera read them and a person confirmed them. */
  confirmed(digits: string): void {
    batch(() => {
      this.next();
      this.digits.value = digits;
      this.byCamera.value = true;
    });
  }

  /** Retires this coin’s verdict and takes the next. */
  next(): void {
    if (this.digits.value === "") return;
    batch(() => {
      if (this.current.value) this.last.value = this.current.value;
      this.coins++;
      this.digits.value = "";
      this.byCamera.value = false;
    });
  }

  /** Says the coin before again, for a core that speaks another language now. */
  async sayAgain(): Promise<void> {
    const was = this.last.peek();
    const again = was && (await inWords(this.core, was));
    if (again && this.last.peek() === was) this.last.value = again;
  }

  private async judge(subject: Subject | null, value: string, step: Step): Promise<void> {
    const turn = ++this.asking;
    clearTimeout(this.rest);
    if (!subject) {
      this.show(null, null);
      return;
    }
    const answer = await this.core.call("judge", {
      ...subject,
      value,
      unit: "g",
      ...(step ? { resolution: step } : {}),
      brief: true,
    });
    if (turn !== this.asking) return; // typed on meanwhile
    if ("error" in answer) {
      this.show(null, answer.error);
      return;
    }
    const verdict = readVerdict(answer.ok);
    if (!verdict) {
      this.show(null, { code: "internal", sentence: "" });
      return;
    }
    const question = {
      ...subject,
      mean_g: Number(value),
      u_g: verdict.tolerance?.u_g ?? 0,
      resolution_g: Number(step) || 10 ** -decimalsIn(value),
    };
    const shown: Shown = {
      verdict,
      placement: this.placement,
      settled: true,
      asked: askedFor(question),
      question,
    };
    this.show(shown, null);
    this.rest = setTimeout(() => {
      this.rested.value = shown;
    }, restMs);
  }

  private show(shown: Shown | null, fault: CoreFault | null): void {
    batch(() => {
      this.current.value = shown;
      this.fault.value = fault;
    });
  }
}
