/** The drawings of all kinds, and of what can be answered to an open question, in one chunk, fetched when the first is wanted. */
const files = import.meta.glob<string>("../../drawings/**/*.svg", {
  eager: true,
  query: "?raw",
  import: "default",
});

/** The SVG of each drawing, by its file's name without the ending; a choice's by `question/choice`. */
export const drawings = new Map(
  Object.entries(files).map(([path, svg]) => [path.replace(/^.*\/drawings\/|\.svg$/g, ""), svg]),
);
