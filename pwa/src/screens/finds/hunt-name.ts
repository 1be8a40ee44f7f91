import type { Hunt } from "../../core/journal";
import { text } from "../../text";

/** What a hunt is called: by the person's own word for the place, else by its source. */
export function huntName(h: Pick<Hunt, "place" | "source">): string {
  const sources: Record<string, string> = text.hunts.sources;
  return h.place || (h.source && (sources[h.source] ?? h.source)) || text.finds.hunt;
}
