import { computed, effect, type Signal, signal } from "@preact/signals";
import { type KeptCheck, readKeptCheck } from "../core/scale-check";
import type { Api } from "../laptop/api";
import type { LiveReading } from "../weigh/reading";

/** The newest check of the connected scale, as the laptop keeps it, with its age. */
export class ScaleTruth {
  /** Null until the laptop has answered. */
  readonly kept: Signal<KeptCheck | null> = signal(null);
  private api: Pick<Api, "exchange">;
  private newest = 0;

  constructor(api: Pick<Api, "exchange">) {
    this.api = api;
  }

  /** Asks anew; what was known stays when the laptop can't be reached. */
  async look(): Promise<void> {
    const mine = ++this.newest;
    try {
      const answer = await this.api.exchange("GET", "/api/v1/scale-check");
      const kept = readKeptCheck(await answer.json());
      if (mine === this.newest) this.kept.value = kept;
    } catch {
      // Asked again when the line is back.
    }
  }

  /** Keeps a check on the laptop; rejects with its refusal. */
  async keep(check: unknown, scale: { name: string; dialect: string } | null): Promise<void> {
    const body = JSON.stringify(scale ? { scale, check } : { check });
    const answer = await this.api.exchange("POST", "/api/v1/scale-check", body);
    const kept = readKeptCheck(await answer.json());
    this.newest++;
    this.kept.value = kept;
  }

  /** Asks whenever another scale, or another check of it, shows in the live stream. */
  follow(live: LiveReading): void {
    const which = computed(() => {
      const r = live.reading.value;
      const s = "scale" in r ? r.scale : null;
      return live.line.value === "open" && s?.dialect ? `${s.name} ${s.dialect} ${s.checked ?? ""}` : "";
    });
    effect(() => {
      if (which.value) void this.look();
    });
  }
}
