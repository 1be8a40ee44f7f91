import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Detail, Find, Written } from "../core/journal";
import { PendingEdits } from "./pending-edits";

const parts = ["coin", "lies"] as const;
const write = fc.record({
  field: fc.constantFrom(...parts),
  value: fc.integer({ min: 1, max: 99 }),
  fails: fc.boolean(),
  /** The person waits until it is stored before going on. */
  waits: fc.boolean(),
  /** Turns of the event loop until the notebook answers. */
  takes: fc.integer({ min: 0, max: 3 }),
});

const find: Find = {
  record: "r",
  deleted: false,
  ids: { coin: ["a.1"], lies: ["a.2"] },
  conflicts: [],
  photos: [],
};
const detail: Detail = { kind: "find", find, history: [] };

describe("what one screen writes, at any pace", () => {
  it("is written in order, each on top of all before it, and shown as it was stored last", async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(write, { maxLength: 12 }), async (writes) => {
        const edits = new PendingEdits();
        const stored: { field: string; id: string; value: unknown }[] = [];
        let under = 0;
        const pending: Promise<unknown>[] = [];
        for (const w of writes) {
          const value = { label: String(w.value) };
          const saved = edits.save({ [w.field]: value }, find.ids, async (saw): Promise<Written | null> => {
            under++;
            expect(under).toBe(1);
            // It has seen what the screen showed, and all that was stored since.
            for (const f of parts) {
              const since = stored.filter((s) => s.field === f).map((s) => s.id);
              expect(saw[f]).toEqual([...(find.ids[f] ?? []), ...since]);
            }
            for (let i = 0; i < w.takes; i++) await Promise.resolve();
            under--;
            if (w.fails) throw new Error("full");
            const id = `b.${stored.length + 1}`;
            stored.push({ field: w.field, id, value });
            return { record: "r", entries: [{ id, record: "r", kind: "find", field: w.field, raw: "" }] };
          });
          const over = edits.overFind(detail);
          expect(over?.[w.field]).toEqual(value); // shown at once
          if (w.waits) await saved.catch(() => {});
          else pending.push(saved.catch(() => {}));
        }
        await Promise.all(pending);
        const newest = new Map(writes.map((w) => [w.field, w]));
        for (const [field, w] of newest) {
          const last = stored.filter((s) => s.field === field).at(-1);
          if (!w.fails) expect(edits.overFind(detail)?.[field]).toEqual(last?.value);
        }
        // Read anew with all of it, the reading alone is shown.
        const history = stored.map(({ id, field, value }) => ({
          id,
          at: 0,
          field,
          value,
          now: "shown" as const,
        }));
        expect(edits.overFind({ ...detail, history })).toEqual(find);
      }),
    );
  });
});
