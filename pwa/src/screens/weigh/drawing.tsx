import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { text } from "../../text";

/** What to look for, and beside it what is taken for it, each with its name. */
export function Drawings({ names }: { names: string[] }) {
  if (names.length < 2) return <Drawing name={names[0] ?? ""} />;
  return (
    <div class="drawings">
      {names.map((name) => (
        <Drawing key={name} name={name} named />
      ))}
    </div>
  );
}

/** The drawing of a kind, in the ink of the page; nothing where there is none. */
export function Drawing({ name, named }: { name: string; named?: boolean }) {
  const svg = useSignal("");
  useEffect(() => {
    let wanted = true;
    import("./all-drawings").then(
      ({ drawings }) => {
        if (wanted) svg.value = drawings.get(name) ?? "";
      },
      () => {}, // offline before the first drawing: the words say the same
    );
    return () => {
      wanted = false;
    };
  }, [name, svg]);
  if (!svg.value) return null;
  // A file of this project, put in at build time: nothing from outside gets here.
  const told = titled(svg.value, text.drawings[name]);
  const drawing = <div class="drawing" dangerouslySetInnerHTML={{ __html: told }} />;
  if (!named) return drawing;
  return (
    <figure>
      {drawing}
      <figcaption>{calledIn(told)}</figcaption>
    </figure>
  );
}

/** The drawing under the title of another language than English, where there is one. */
export const titled = (svg: string, title: string | undefined): string =>
  title ? svg.replace(/<title>[^<]*/, () => `<title>${title}`) : svg;

/** What a drawing's title calls it: all before the colon, after which it says what to see. */
export function calledIn(svg: string): string {
  return /<title>([^:<]*)/.exec(svg)?.[1] ?? "";
}
