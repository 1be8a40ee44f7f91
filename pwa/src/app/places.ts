/** The tools beside the scale, in the order they are listed; each is a place of its own. */
export const tools = ["book", "sight", "density", "pile"] as const;
export type Tool = (typeof tools)[number];

/** The tool that an address names, with what follows it; null for the other screens. */
export function toolAt(place: string): { tool: Tool; rest: string } | null {
  const [first = "", ...rest] = place.split("/");
  const tool = tools.find((t) => t === first);
  if (!tool) return null;
  try {
    return { tool, rest: decodeURIComponent(rest.join("/")) };
  } catch {
    return { tool, rest: "" };
  }
}

export const addressOf = (tool: Tool, rest = ""): string =>
  rest ? `#/${tool}/${encodeURIComponent(rest)}` : `#/${tool}`;
