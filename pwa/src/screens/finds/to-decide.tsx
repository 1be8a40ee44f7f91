import type { ToDecide } from "../../core/journal";
import { text } from "../../text";
import { useRead } from "./use";

/** Above a list: how many of its records were written on phones that hadn’t seen one another, with the way to the newest. */
export function ToDecideHere({ kind }: { kind: "find" | "hunt" }) {
  const read = useRead((records) => records.journal.conflicts(), []).value;
  const all = read.is === "read" ? read.value.filter((c) => c.kind === kind) : [];
  const overlooked = all.filter((c) => c.overlooked && c.overlooked.length > 0);
  const conflicts = all.filter((c) => c.conflicts.length > 0 && !overlooked.includes(c));
  return (
    <>
      <Way kind={kind} part="overlooked" to={overlooked} words={text.finds.overlookedHere} />
      <Way kind={kind} part="conflicts" to={conflicts} words={text.finds.conflictsHere} />
    </>
  );
}

function Way(props: {
  kind: "find" | "hunt";
  part: string;
  to: ToDecide[];
  words: (n: number, kind: "find" | "hunt") => string;
}) {
  const [newest] = props.to;
  if (!newest) return null;
  return (
    <a class="problem-box" href={`#/${props.kind}s/${newest.record}`} data-part={props.part}>
      {props.words(props.to.length, props.kind)}
    </a>
  );
}
