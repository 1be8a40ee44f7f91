import { computed, effect } from "@preact/signals";
import { afterEach, describe, expect, it } from "vitest";
import { speak, text } from ".";
import { en } from "./en";
import { es } from "./es";
import { locale } from "./writing";

afterEach(() => speak("en"));

describe("speaking another language", () => {
  it("changes all that read the texts, at once and without a reload", async () => {
    const words = computed(() => `${text.nav.finds}: ${text.weight.asGrams("3.11")}`);
    const seen: string[] = [];
    const stop = effect(() => void seen.push(words.value));
    expect(await speak("es-ES")).toBe("spoken");
    expect(text.language).toBe("es");
    stop();
    expect(seen).toEqual([`${en.nav.finds}: 3.11\u00a0g`, `${es.nav.finds}: 3,11\u00a0g`]);
  });

  it("lets the last one picked win, whichever comes first", async () => {
    const [spanish, english] = await Promise.all([speak("es-MX"), speak("en")]);
    expect([spanish, english]).toEqual(["overtaken", "spoken"]);
    expect(text.language).toBe("en");
    expect(locale.value).toBe("en");
  });
});
