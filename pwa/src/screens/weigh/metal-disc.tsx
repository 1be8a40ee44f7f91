import type { Row } from "../../hands/hands-list";
import { Mark } from "../../view/icons";

/**
 * A kind of coin as a disc with its metal's letters: full for an alloy of
 * before, a ring for what is struck now, with a second ring for a keeper. What
 * has no one metal has the mark of its verdict.
 */
export function MetalDisc({ of }: { of: Pick<Row, "sign" | "current" | "keeper" | "call"> }) {
  if (!of.sign) return <Mark call={of.call} />;
  const [element = "", share = ""] = of.sign.split(" ");
  return (
    <span
      class="metal-disc"
      aria-hidden="true"
      data-current={of.current || undefined}
      data-keeper={of.keeper || undefined}
    >
      <span data-long={element.length > 2 || undefined}>{element}</span>
      {share && <small>{share}</small>}
    </span>
  );
}
