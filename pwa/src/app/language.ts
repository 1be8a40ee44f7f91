import { computed, effect, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import type { CoreClient } from "../core/client";
import type { Prefs } from "../device/prefs";
import { speak, text } from "../text";
import { localeOf, pickLanguage } from "../text/languages";

/** Which language is spoken, and whether that worked. */
export interface SpokenLanguage {
  /** The language with its place, such as “es-MX”. */
  readonly tag: ReadonlySignal<string>;
  /** Its texts couldn't be fetched, so another is spoken. */
  readonly failed: Signal<boolean>;
}

/** The person's language, or that of this device, whose browser wants some. */
export function chosenTag(prefs: Prefs, wanted: readonly string[]): ReadonlySignal<string> {
  return computed(() => {
    const choice = prefs.language.value;
    return localeOf(choice === "auto" ? pickLanguage(wanted) : choice, wanted);
  });
}

/**
 * Speaks the chosen language everywhere: first the texts, then the core. Each
 * change is told once both have turned, to whoever holds words of before; the
 * promise is of the first language.
 */
export function speakAsChosen(
  tag: ReadonlySignal<string>,
  core: Pick<CoreClient, "speak" | "language">,
  turned: () => void,
): { spoken: SpokenLanguage; ready: Promise<void> } {
  const failed = signal(false);
  let ready = Promise.resolve();
  let first = true;
  async function turn(to: string, atStart: boolean): Promise<void> {
    const could = await speak(to);
    failed.value = could === "failed";
    if (could === "overtaken") return;
    const now = could === "failed" ? text.language : to;
    if (core.language.peek() === now) return;
    await core.speak(now);
    if (!atStart) turned();
  }
  effect(() => {
    const turning = turn(tag.value, first);
    if (first) ready = turning;
    first = false;
  });
  return { spoken: { tag, failed }, ready };
}
