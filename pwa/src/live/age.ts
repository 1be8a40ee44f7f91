import type { WeightMessage } from "./wire";

/** A weight older than this may not be judged or kept. */
export const staleAfterMs = 1000;

/** A moment by two clocks: one that never jumps, one that goes on while the phone sleeps. */
export interface Moment {
  steady: number; // performance.now(), ms
  wall: number; // Date.now(), ms
}

export interface Clock {
  now(): Moment;
}

export const systemClock: Clock = { now: () => ({ steady: performance.now(), wall: Date.now() }) };

/**
 * Milliseconds between two moments: the larger of the two clocks' answers.
 * performance.now() stands still on some phones while they sleep, and the wall
 * clock may be set; taking the larger can only make a weight look older than it
 * is, never fresher.
 */
export function elapsed(from: Moment, to: Moment): number {
  return Math.max(0, to.steady - from.steady, to.wall - from.wall);
}

/** A message with the moment it came in. */
export interface Received {
  message: WeightMessage;
  at: Moment;
}

/** Age of the reading behind a message, in ms: what the server said plus the time since. */
export function ageOf(received: Received, now: Moment): number {
  return received.message.age_ms + elapsed(received.at, now);
}

export const isStale = (ageMs: number): boolean => ageMs > staleAfterMs;

/** Whole seconds to show beside the weight; 0 reads as “now”. */
export const shownSeconds = (ageMs: number): number => Math.floor(ageMs / 1000);
