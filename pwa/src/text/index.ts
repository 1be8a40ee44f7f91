import { batch, signal } from "@preact/signals";
import { en, type Text } from "./en";
import { type Language, pickLanguage } from "./languages";
import { locale } from "./writing";

/** English is always there; the others come when they are wanted, and are kept with the app. */
const texts: Record<Language, () => Promise<Text>> = {
  en: () => Promise.resolve(en),
  es: () => import("./es").then((m) => m.es),
};

const spoken = signal<Text>(en);

/**
 * All that the app says, in the language of now. What read it, in drawing or in
 * working something out, is done again when the language changes.
 */
export const text: Text = new Proxy(en, {
  get: (_, topic) => Reflect.get(spoken.value, topic),
});

let newest = 0;

/** Speaks the language of a tag (“es-MX”) from now on, unless its texts can't be fetched or another was wanted meanwhile. */
export async function speak(tag: string): Promise<"spoken" | "failed" | "overtaken"> {
  const mine = ++newest;
  let words: Text;
  try {
    words = await texts[pickLanguage([tag])]();
  } catch {
    return mine === newest ? "failed" : "overtaken";
  }
  if (mine !== newest) return "overtaken";
  batch(() => {
    locale.value = tag;
    spoken.value = words;
  });
  return "spoken";
}
