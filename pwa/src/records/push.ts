import type { Journal } from "./journal";
import type { Exchange } from "./night";

const wireVersion = 1;

/** What a push could not place, by the entries' ids: it waits for a pull, and for the person to know. */
export interface Refused {
  ids: Set<string>;
  sentence: string;
}

/**
 * Sends what the laptop doesn't have, batch by batch, each marked as sent only
 * by the laptop's own answer. Forked entries are written again under other
 * names and sent anew.
 */
export async function push(
  journal: Journal,
  exchange: Exchange,
  onBatch: (entries: number) => void,
): Promise<Refused> {
  const refused: Refused = { ids: new Set(), sentence: "" };
  // Each renewal leads to new names; more than a few in a row is a fault of its own.
  for (let renewals = 0; ; renewals++) {
    const forked: string[] = [];
    for (;;) {
      const batch = await journal.unsent(new Set([...refused.ids, ...forked]));
      if (batch.length === 0) break;
      onBatch(batch.length);
      const sent = batch.map((e) => e.id);
      const { receipt } = await journal.marks();
      const body = `{"v":${wireVersion},"receipt":${JSON.stringify(receipt)},"entries":[${batch.map((e) => e.raw).join(",")}]}`;
      const response = await exchange("POST", "/api/v1/journal", body);
      const answer = await journal.pushed(sent, await response.text());
      forked.push(...answer.forked);
      for (const r of answer.refused) {
        const id = sent[r.index];
        if (id === undefined || answer.forked.includes(id)) continue;
        refused.ids.add(id);
        refused.sentence = r.sentence;
      }
      // An answer that neither took nor refused anything would be asked for ever.
      if (answer.stored.length === 0 && answer.refused.length === 0) return refused;
      // At once: what comes after may name these, and the laptop has others of that name.
      if (forked.length > 0) break;
    }
    if (forked.length === 0 || renewals >= 3) return refused;
    await journal.renew(forked);
  }
}
