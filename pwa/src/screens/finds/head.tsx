import { text } from "../../text";
import { type RecordPlace, recordPlaces } from "../../view/places";

/** The two lists and the way back to the scale. */
export function RecordsHead({ at }: { at: RecordPlace }) {
  const name = (p: RecordPlace) => (p === "finds" ? text.finds.title : text.finds.hunts);
  return (
    <div class="records-head">
      <a class="back" href="#/weigh">
        {text.finds.back}
      </a>
      <h1 class="unseen">{name(at)}</h1>
      <nav aria-label={text.finds.pages}>
        {recordPlaces.map((p) => (
          <a key={p} class="tab" href={`#/${p}`} aria-current={p === at ? "page" : undefined}>
            {name(p)}
          </a>
        ))}
      </nav>
    </div>
  );
}
