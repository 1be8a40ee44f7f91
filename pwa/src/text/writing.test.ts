import { afterEach, describe, expect, it } from "vitest";
import { figure, locale, writing } from "./writing";

afterEach(() => {
  locale.value = "en";
});

const en = writing("en");
const es = writing("es");

describe("writing", () => {
  it("puts decimals behind the sign of the place, wherever a number stands in words", () => {
    const words = "± 0.02, of 10.49 in 3. Then 12.";
    expect(figure(words)).toBe(words);
    locale.value = "es-MX";
    expect(figure(words)).toBe(words);
    locale.value = "es-ES";
    expect(figure("± 0.02")).toBe("± 0,02");
    expect(figure("3.")).toBe("3,"); // as far as it is typed
    expect(figure("3,11")).toBe("3,11");
    expect(figure("End of 3. Then 12.11")).toBe("End of 3. Then 12,11");
  });

  it("counts and joins by the rules of its language, whichever is spoken", () => {
    expect([0, 1, 2, 12345].map((n) => en.counted(n, "coin", "coins"))).toEqual([
      "0 coins",
      "1 coin",
      "2 coins",
      "12,345 coins",
    ]);
    expect(es.counted(1, "moneda", "monedas")).toBe("1 moneda");
    expect(es.counted(0, "moneda", "monedas")).toBe("0 monedas");
    expect(en.listed(["a", "b", "c"])).toBe("a, b, and c");
    expect(es.listed(["a", "b", "c"])).toBe("a, b y c");
    expect(es.listed(["padre", "hijo"])).toBe("padre e hijo");
    expect(es.listed(["a"])).toBe("a");
  });

  it("writes per cent as its place does", () => {
    expect(en.percent(95)).toBe("95%");
    expect(en.percent("91.67")).toBe("91.67%");
    locale.value = "es-ES";
    expect(es.percent("91.67")).toBe("91,67\u00a0%");
    expect(en.percent("91.67")).toBe("91.67%");
  });
});
