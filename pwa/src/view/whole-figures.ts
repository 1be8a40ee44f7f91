import { options, type VNode } from "preact";
import { together } from "../text/together";

/**
 * Keeps figures with their units in all that is drawn, whether the app, the core,
 * the book or the laptop wrote it: every text passes here as a node of its own.
 */
export function keepFiguresWhole(): void {
  const before = options.vnode;
  options.vnode = (node: VNode) => {
    const text = node as unknown as { type: unknown; props: unknown };
    if (text.type === null && typeof text.props === "string") text.props = together(text.props);
    before?.(node);
  };
}
