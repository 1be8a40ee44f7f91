import { type ComponentChildren, createContext } from "preact";
import { useContext, useEffect, useRef } from "preact/hooks";
import type { Pictures } from "../../senses/pictures";
import { text } from "../../text";

/** The program that looks at pictures, for as long as the page is open. */
export const PicturesContext = createContext<Pictures | null>(null);

export function usePictures(): Pictures {
  const pictures = useContext(PicturesContext);
  if (!pictures) throw new Error("a picture outside the second look");
  return pictures;
}

/** The second look's own page, wider than the other tools'. */
export function BenchPage(props: {
  back: { href: string; words: string };
  title?: string;
  children: ComponentChildren;
}) {
  const heading = useRef<HTMLHeadingElement>(null);
  const title = props.title ?? text.toolbox.names["second-look"];
  useEffect(() => {
    document.title = `${title} – ${text.appName}`;
    heading.current?.focus({ preventScroll: true });
    scrollTo(0, 0);
    return () => {
      document.title = text.appName;
    };
  }, [title]);
  return (
    <main class="tool-page bench-page" data-screen="second-look">
      <div class="bench-head">
        <a class="back" href={props.back.href}>
          {props.back.words}
        </a>
        <h1 ref={heading} tabIndex={-1}>
          {title}
        </h1>
      </div>
      {props.children}
    </main>
  );
}
