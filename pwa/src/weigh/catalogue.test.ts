import { describe, expect, it } from "vitest";
import type { CoreClient } from "../core/client";
import { Catalogue, type SheetQuestion } from "./catalogue";

const cent: SheetQuestion = { country: "us", denomination: "cent", year: 0, mint: "", hint: "" };

describe("the inspection sheet", () => {
  it("says what it was asked of, while the next one is on its way", async () => {
    const waiting: (() => void)[] = [];
    const core = {
      language: { value: "en", peek: () => "en" },
      call: () => new Promise((done) => waiting.push(() => done({ ok: { look: [], cautions: [] } }))),
    } as unknown as CoreClient;
    const book = new Catalogue(core);
    const year = () => (book.sheet.value.is === "sheet" ? book.sheet.value.of.year : book.sheet.value.is);

    const undated = book.want(cent);
    expect(year()).toBe("loading");
    waiting[0]?.();
    await undated;
    const dated = book.want({ ...cent, year: 1955 });
    expect(year()).toBe(0);
    waiting[1]?.();
    await dated;
    expect(year()).toBe(1955);
    await book.want(cent);
    expect(year()).toBe(0);
    expect(waiting).toHaveLength(2);
  });
});
