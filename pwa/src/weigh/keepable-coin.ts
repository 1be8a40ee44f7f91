import { type Signal, signal } from "@preact/signals";
import type { CoinOf, TraceOf, WeightOf } from "../core/journal";
import type { Verdict } from "../core/types";
import type { Received } from "../live/age";
import type { Placement, WeightMessage } from "../live/wire";
import type { Shown } from "./live-verdict";
import { coinGrams } from "./one-weight";

/** Coins of a sitting that can still be kept with their readings. */
const mostRecent = 150;
const sameCoinMs = 10 * 60 * 1000;

/** The kind of a scale whose display a camera reads, in the live stream and with a find. */
export const cameraKind = "camera";

/** Readings of one coin that are kept with it: some minutes of a fast scale. */
const mostReadings = 600;

/** A coin that can be kept as a find: the one on the pan, or the one before it. */
export interface KeepableCoin {
  /** Tells this coin from every other of this page; placements begin anew when the laptop does. */
  coinId: string;
  placement: Placement;
  /** As the button names it: “3.11 g”. */
  label: string;
  weight: WeightOf;
  trace: TraceOf | null;
  coin: CoinOf | null;
  verdict: Verdict | null;
  /** What was found out beside the weight when that was judged. */
  evidence?: Record<string, string> | undefined;
}

/**
 * Remembers of the newest settled coin what would be kept of it: the weight in
 * the scale's own digits, the readings behind it, the scale at that moment, and
 * what was claimed. It goes on from the coin before only when the next has come
 * to rest, so that a coin can be kept after it was lifted.
 */
export class KeepableCoins {
  readonly coin: Signal<KeepableCoin | null> = signal(null);
  /** The coins before it, for those that were set aside. */
  private recent = new Map<number, KeepableCoin>();
  private placement: Placement | null = null;
  private trace: TraceOf | null = null;
  private now: () => number;

  constructor(now: () => number = Date.now) {
    this.now = now;
  }

  /** Each message of the live stream. */
  weight({ message: m }: Received): void {
    if (m.phase === "withheld") this.coin.value = null; // nor is it the coin before
    if (m.phase !== "moving" && m.phase !== "settled") return;
    const at = this.now() - Math.round(m.age_ms);
    const unit = m.unit ?? "g";
    if (m.placement !== this.placement || this.trace?.unit !== unit) {
      this.placement = m.placement;
      this.trace = { unit, from: at, after: [], shown: [], status: [] };
    }
    const t = this.trace;
    if (t.after.length < mostReadings) {
      t.after.push(Math.max(0, at - t.from));
      t.shown.push(m.shown ?? "");
      t.status.push(m.status);
    }
    if (m.phase !== "settled" || m.problem || m.mean_g === null || m.mean_g <= 0 || !m.shown) return;
    const before = this.coin.peek();
    const same = before?.coinId === `${m.placement}-${t.from}`;
    this.hold({
      coinId: `${m.placement}-${t.from}`,
      placement: m.placement,
      label: `${m.resolution_g ? coinGrams(m.mean_g, m.resolution_g) : m.mean_g.toFixed(2)}\u00a0g`,
      weight: weightOf(m, at),
      trace: t,
      coin: same ? before.coin : null,
      verdict: same ? before.verdict : null,
      evidence: same ? before.evidence : undefined,
    });
  }

  /** The coin of an earlier placement that was weighed at about a moment, with its own digits and readings. */
  earlier(placement: number, at: number): KeepableCoin | null {
    const held = this.recent.get(placement);
    // The laptop counts from one again when it starts, so the number alone says too little.
    return held && Math.abs((held.weight.at ?? 0) - at) < sameCoinMs ? held : null;
  }

  private hold(held: KeepableCoin): void {
    this.coin.value = held;
    this.recent.delete(held.placement);
    this.recent.set(held.placement, held);
    const [oldest] = this.recent.keys();
    if (this.recent.size > mostRecent && oldest !== undefined) this.recent.delete(oldest);
  }

  /** A verdict on the glass that has come to rest. */
  verdict(shown: Shown | null): void {
    const held = this.coin.peek();
    if (!shown?.settled || !held || held.placement !== shown.placement) return;
    const { question, verdict } = shown;
    this.hold({ ...held, coin: coinOf(question), verdict, evidence: question.evidence });
  }

  /** A typed weight with its verdict; without one its digits are no weight now, and what they were before isn't held any more. */
  typed(shown: Shown | null, digits: string, placement: Placement, byCamera = false): void {
    if (!shown || digits === "") {
      if (this.coin.peek()?.placement === placement) this.coin.value = null;
      return;
    }
    const q = shown.question;
    this.coin.value = {
      coinId: `typed-${shown.placement}-${digits}`,
      placement: shown.placement,
      label: `${digits}\u00a0g`,
      weight: {
        value: digits,
        unit: "g",
        mean_g: q.mean_g,
        u_g: q.u_g,
        resolution_g: q.resolution_g,
        at: this.now(),
        ...(byCamera ? { scale: { name: "", kind: cameraKind, assumed: true } } : {}),
      },
      trace: null,
      coin: coinOf(q),
      verdict: shown.verdict,
      evidence: q.evidence,
    };
  }
}

function weightOf(m: WeightMessage, at: number): WeightOf {
  const w: WeightOf = { value: (m.shown ?? "").trim(), unit: m.unit ?? "g", at, status: m.status };
  if (m.mean_g !== null) w.mean_g = m.mean_g;
  if (m.u_g !== null) w.u_g = m.u_g;
  if (m.resolution_g !== null) w.resolution_g = m.resolution_g;
  if (m.scale) {
    const { name, kind, format, assumed } = m.scale;
    w.scale = format ? { name, kind, dialect: format, assumed } : { name, kind, assumed };
  }
  return w;
}

export function coinOf(q: Shown["question"]): CoinOf {
  const c: CoinOf = { country: q.country, denomination: q.denomination };
  if (q.year) c.year = q.year;
  if (q.mint) c.mint = q.mint;
  return c;
}
