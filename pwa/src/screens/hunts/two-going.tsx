import type { Hunt } from "../../core/journal";
import { text } from "../../text";
import { huntName } from "../finds/hunt-name";
import { useRecords } from "../finds/use";
import { whenWords } from "../finds/words";
import "../finds/decide.css";

/** When several hunts go on: which of them counts, and one tap to end each of the others. */
export function TwoGoing() {
  const records = useRecords();
  const counting = records.going.running.value;
  const idle = records.going.idle.value;
  if (!counting || idle.length === 0) return null;
  const names = [counting, ...idle].map(huntName);
  /** By its name, and where two are called the same, by when it was begun. */
  const called = (h: Hunt) => {
    const name = huntName(h);
    return names.indexOf(name) === names.lastIndexOf(name) ? name : `${name}, ${whenWords(h.begun)}`;
  };
  const end = (hunt: Hunt) =>
    void records.acts.write("hunt", {
      kind: "hunt",
      record: hunt.record,
      set: { ended: endingNow(hunt) },
      saw: hunt.ids,
    });
  return (
    <div class="problem-box decide" role="status" data-part="two-going">
      <p>{text.hunts.severalGoing(names.length, called(counting))}</p>
      {idle.map((h) => (
        <button key={h.record} type="button" class="button" data-do="end-other" onClick={() => end(h)}>
          {text.hunts.endOther(called(h))}
        </button>
      ))}
    </div>
  );
}

/** Now, by a clock that may be behind that of the phone which began the hunt. */
export const endingNow = (hunt: Hunt): number => Math.max(Date.now(), hunt.begun ?? 0);

/** The begin, for an end of the very minute it lies in: inputs know no seconds. */
export function endFrom(ms: number, hunt: Hunt): number {
  const begun = hunt.begun ?? 0;
  return ms < begun && begun - ms < 60_000 ? begun : ms;
}
