const ways: Record<string, { dx: number; dy: number }> = {
  ArrowLeft: { dx: -1, dy: 0 },
  ArrowRight: { dx: 1, dy: 0 },
  ArrowUp: { dx: 0, dy: -1 },
  ArrowDown: { dx: 0, dy: 1 },
};

/** By how much an arrow key moves something on the page, which then stays where it is; null for any other key. */
export function arrowOf(e: KeyboardEvent, by: number): { dx: number; dy: number } | null {
  const way = ways[e.key];
  if (!way) return null;
  e.preventDefault();
  return { dx: by * way.dx, dy: by * way.dy };
}
