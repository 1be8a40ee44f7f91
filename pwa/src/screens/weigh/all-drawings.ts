/** The drawings of all kinds in one chunk, fetched when the first is wanted. */
const files = import.meta.glob<string>("../../drawings/*.svg", {
  eager: true,
  query: "?raw",
  import: "default",
});

/** The SVG of each drawing, by its file's name without the ending. */
export const drawings = new Map(
  Object.entries(files).map(([path, svg]) => [path.replace(/^.*\/|\.svg$/g, ""), svg]),
);
