import { type ComponentChildren, Fragment, options, type VNode } from "preact";
import { together } from "../text/together";

/** What stands there as it was sent, to be copied. */
const verbatim = new Set<unknown>(["code", "pre", "textarea"]);

/**
 * Keeps figures with their units in all that is drawn, whether the app, the core,
 * the book or the laptop wrote it: the words of every element pass here.
 */
export function keepFiguresWhole(): void {
  const before = options.vnode;
  options.vnode = (node: VNode) => {
    const { type, props } = node as VNode<{ children?: ComponentChildren }>;
    if (
      (typeof type === "string" || type === Fragment) &&
      !verbatim.has(type) &&
      props.children !== undefined
    ) {
      props.children = held(props.children);
    }
    before?.(node);
  };
}

function held(children: ComponentChildren): ComponentChildren {
  if (typeof children === "string") return together(children);
  return Array.isArray(children) ? children.map(held) : children;
}
