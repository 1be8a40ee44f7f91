import { afterEach, expect, it } from "vitest";
import { speak } from "../text";
import { forEar } from "./for-ear";

afterEach(() => speak("en"));

it("writes out what a voice would spell, in the language that is spoken", async () => {
  expect(forEar("Look: 2.27\u00a0g is right for 90 % silver (1942–1945).")).toBe(
    "Look: 2.27 grams is right for 90 per cent silver 1942 to 1945.",
  );
  await speak("es-MX");
  expect(forEar("Mira: 2.27\u00a0g va con 90\u00a0% de plata (1942–1945).")).toBe(
    "Mira: 2.27 gramos va con 90 por ciento de plata 1942 a 1945.",
  );
});
