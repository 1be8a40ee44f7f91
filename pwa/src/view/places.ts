/** The tools beside the scale, in the order they are listed; each is a place of its own. */
export const tools = ["book", "fits", "identify", "ring", "camera", "density", "roll", "scale"] as const;
export type Tool = (typeof tools)[number];

/** What tools were called in addresses before; somebody may have marked one. */
const formerly: Record<string, Tool> = { sight: "identify", pile: "roll" };

/** The tool that an address names, with what follows it; null for the other screens. */
export function toolAt(place: string): { tool: Tool; rest: string } | null {
  const [first = "", ...rest] = place.split("/");
  const tool = tools.find((t) => t === (formerly[first] ?? first));
  if (!tool) return null;
  try {
    return { tool, rest: decodeURIComponent(rest.join("/")) };
  } catch {
    return { tool, rest: "" };
  }
}

export const addressOf = (tool: Tool, rest = ""): string =>
  rest ? `#/${tool}/${encodeURIComponent(rest)}` : `#/${tool}`;

/** What is kept: finds and hunts, each with a page of its own below the list. */
export const recordPlaces = ["finds", "hunts"] as const;
export type RecordPlace = (typeof recordPlaces)[number];

/** The list that an address names, with what follows it; null for the other screens. */
export function recordsAt(place: string): { at: RecordPlace; rest: string[] } | null {
  const [first = "", ...rest] = place.split("/");
  const at = recordPlaces.find((r) => r === first);
  return at ? { at, rest: rest.filter(Boolean) } : null;
}
