import { createElement as h, options, type VNode } from "preact";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { keepFiguresWhole } from "./whole-figures";

const children = (node: VNode) => (node as VNode<{ children: unknown }>).props.children;

describe("what is drawn", () => {
  const before = options.vnode;
  beforeAll(keepFiguresWhole);
  afterAll(() => {
    if (before) options.vnode = before;
    else delete options.vnode;
  });

  it("keeps its figures with their units", () => {
    expect(children(h("p", null, "16 % would be noticed"))).toBe("16\u00a0% would be noticed");
    expect(children(h("p", null, "of ", ["3.11 g"], 5))).toEqual(["of ", ["3.11\u00a0g"], 5]);
    const inner = h("b", null, "x");
    expect(children(h("p", null, inner))).toBe(inner);
  });

  it("stands as it was sent where it is to be copied", () => {
    expect(children(h("code", null, "ST, 3.11 g"))).toBe("ST, 3.11 g");
  });
});
