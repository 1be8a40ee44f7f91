import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";
import { text } from "../../text";
import type { Tool } from "../../view/places";

/** A tool's own page: its name, the way back, and the tool. */
export function ToolPage(props: {
  tool: Tool;
  title: string;
  back: { href: string; words: string };
  children: ComponentChildren;
}) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    document.title = `${props.title} – ${text.appName}`;
    // Who came here by keyboard or screen reader starts at the name of the page.
    heading.current?.focus({ preventScroll: true });
    scrollTo(0, 0);
    return () => {
      document.title = text.appName;
    };
  }, [props.title]);
  return (
    <main class="tool-page" data-screen={props.tool}>
      <a class="back" href={props.back.href}>
        {props.back.words}
      </a>
      <h1 ref={heading} tabIndex={-1}>
        {props.title}
      </h1>
      {props.children}
    </main>
  );
}

export const toWeighing = () => ({ href: "#/weigh", words: text.toolbox.back });
