import { type Signal, signal } from "@preact/signals";
import type { Detail, Find, Hunt, PhotoOf, Written } from "../core/journal";

type Fields = Record<string, unknown>;
type Saw = Record<string, string[]>;

interface Own {
  value: unknown;
  /** The entry it was written as; empty until it is stored. */
  id: string;
}

/**
 * What one screen writes of a record. Whoever enters one thing after another is
 * quicker than the notebook is read anew: their second value is to be written on
 * top of their first, not beside it as if another phone had written there.
 */
export class OwnWrites {
  private own: Signal<ReadonlyMap<string, Own>> = signal(new Map());
  private ids = new Map<string, string[]>();
  private last: Promise<unknown> = Promise.resolve();

  /** Writes over a record as it was on the screen, after whatever is being written still. */
  save(set: Fields, saw: Saw, write: (saw: Saw) => Promise<Written | null>): Promise<Written | null> {
    const mine = Object.entries(set).map(([field, value]) => [field, { value, id: "" }] as const);
    this.own.value = new Map([...this.own.peek(), ...mine]);
    const done = this.last.then(async () => {
      // All of them: a deletion has seen every field.
      const all = { ...saw };
      for (const [field, ids] of this.ids) all[field] = [...(saw[field] ?? []), ...ids];
      const written = await write(all).catch((cause) => {
        this.settle(mine, null);
        throw cause;
      });
      this.settle(mine, written);
      return written;
    });
    this.last = done.catch(() => {});
    return done;
  }

  /** Notes as what the values were written, or that they weren’t. */
  private settle(mine: (readonly [string, Own])[], written: Written | null): void {
    const own = new Map(this.own.peek());
    for (const [field, it] of mine) {
      const ids = written?.entries.filter((e) => e.field === field).map((e) => e.id) ?? [];
      const id = ids.at(-1);
      if (id) this.ids.set(field, [...(this.ids.get(field) ?? []), ...ids]);
      if (own.get(field) !== it) continue; // written over meanwhile
      if (id) own.set(field, { value: it.value, id });
      else own.delete(field);
    }
    this.own.value = own;
  }

  /** A find as it was read, with what was written since laid over it. */
  overFind({ find, history }: Detail): Find | undefined {
    if (!find) return undefined;
    const since = this.since(history);
    const over = { ...find, ...plain(since, ["coin", "lies"]) };
    for (const [field, { value }] of since) {
      const sha256 = field.split("/")[1];
      if (sha256 && field.startsWith("photo/")) {
        over.photos = over.photos.flatMap((p) =>
          p.sha256 !== sha256 ? [p] : value ? [value as PhotoOf] : [],
        );
      }
    }
    return over;
  }

  /** A hunt as it was read, with what was written since laid over it. */
  overHunt({ hunt, history }: Detail): Hunt | undefined {
    if (!hunt) return undefined;
    const since = this.since(history);
    const over = { ...hunt, ...plain(since, ["paid", "returned"]) };
    for (const [field, { value }] of since) {
      const roll = Number(field.split("/")[1]);
      if (!roll || !field.startsWith("roll/")) continue;
      over.progress = [
        ...over.progress.filter((r) => r.roll !== roll),
        { roll, ...(value as { coins: number; done: boolean }) },
      ].sort((a, b) => a.roll - b.roll);
    }
    return over;
  }

  /** What isn't in the history that was read. */
  private since(history: Detail["history"]): [string, Own][] {
    const read = new Set(history.map((e) => e.id));
    return [...this.own.value].filter(([, o]) => !read.has(o.id));
  }
}

/**
 * Of what was written, the fields that hold one value. Those entered part by
 * part are laid over at once, since the next part is put to them; the others
 * once they are stored, and not what the core counts itself.
 */
function plain(since: [string, Own][], inParts: string[]): Fields {
  return Object.fromEntries(
    since
      .filter(
        ([field, o]) => inParts.includes(field) || (o.id && !field.includes("/") && field !== "searched"),
      )
      .map(([field, { value }]) => [field, value ?? undefined]),
  );
}
