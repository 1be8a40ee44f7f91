import type { Row } from "../../hands/hands-list";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { MetalDisc } from "./metal-disc";

/** How many of what so far: always in sight, of one height whatever is counted. */
export function Tally() {
  const { list } = useApp().handsFree;
  const rows = [...list.counts.value.rows].sort((a, b) => b.count - a.count);
  return (
    <section class="tally" aria-label={text.hands.tally} data-part="tally">
      {rows.length === 0 && <p class="quiet">{text.hands.none}</p>}
      <Tiles rows={rows} />
    </section>
  );
}

export function Tiles({ rows }: { rows: readonly Row[] }) {
  return (
    <ul class="plain tally-tiles">
      {rows.map((r) => (
        <li key={r.key} class="tally-tile" data-tile={r.key} data-call={r.call} data-n={r.count}>
          <MetalDisc of={r} />
          <span class="figures tally-number">{r.count}</span>
          <span class="tally-label">
            {r.label}
            {(r.keeper || r.wanted) && (
              <small class="tally-keeper">{[text.call.keeper, r.wanted].filter(Boolean).join(": ")}</small>
            )}
          </span>
        </li>
      ))}
    </ul>
  );
}
