import { type DialCount, dialCounts } from "../../bench/dial";
import type { Making, SideLight } from "../../bench/side-light";
import { stepsOf } from "../../bench/side-light";
import { text } from "../../text";
import { addressOf } from "../../view/places";
import { Chips } from "../form/controls";
import { dialPlace } from "./dial-page";

const ways = ["lamp", "dial"] as const;
const counts = ["4", "8"] as const;
const countOf = (words: string): DialCount => dialCounts.find((c) => String(c) === words) ?? 4;

/** Whether the lamp is moved or the coin turned, and for the latter in how many steps. */
export function LedBy({ light }: { light: SideLight }) {
  const led = light.led.value;
  const none = light.frames.value.every((f) => f === null);
  return (
    <>
      <Chips
        name="led"
        label={text.dial.how}
        value={led.by}
        options={ways}
        words={text.dial.ways}
        onPick={(by) => {
          if (by) light.lead(by === "lamp" ? { by } : { by, count: 8 });
        }}
      />
      {led.by === "dial" && (
        <>
          <Chips
            name="marks"
            label={text.dial.many}
            value={counts.find((c) => c === String(led.count))}
            options={counts}
            words={text.dial.counts}
            oneRow
            onPick={(c) => c && light.lead({ by: "dial", count: countOf(c) })}
          />
          {/* It leads away from here, so only while there is nothing to lose. */}
          {none && (
            <a class="lone-link" href={addressOf("second-look", dialPlace)} data-do="to-dial">
              {text.dial.print}
            </a>
          )}
        </>
      )}
    </>
  );
}

/** What each photo is called, and what is to be done for it. */
export function stepWords(light: SideLight, n: number): { name: string; lead: string } {
  const led = light.led.value;
  if (led.by === "lamp")
    return { name: text.bench.light.sides[n] ?? "", lead: text.bench.light.lead[n] ?? "" };
  const mark = stepsOf(led)[n] ?? 0;
  return {
    name: text.dial.mark(mark),
    lead: n === 0 ? text.dial.lead.first : text.dial.lead.next(mark),
  };
}

/** Why there is no relief, and the one photo to take again where one is to blame. */
export function DialRefused({ light, making }: { light: SideLight; making: Making & { is: "refused" } }) {
  const { why, mark, off = 0 } = making;
  const dial = light.led.value.by === "dial";
  const words = () => {
    if (mark !== undefined && why === "astray")
      return text.dial.astray(mark, Math.abs(wrapped(off)).toFixed(0));
    if (mark !== undefined && why === "no-rim") return text.dial.noRim(mark);
    return dial && why === "slipped" ? text.dial.slipped : text.bench.light.refusals[why];
  };
  return (
    <>
      <p class="problem" role="alert" data-part="relief-refused" data-why={why} data-mark={mark}>
        {words()}
      </p>
      {mark !== undefined && (
        <button
          type="button"
          class="button"
          data-do="mark-again"
          onClick={() => light.put(stepsOf(light.led.peek()).indexOf(mark), null)}
        >
          {text.dial.againMark(mark)}
        </button>
      )}
    </>
  );
}

/** An angle between −180 and 180 degrees. */
const wrapped = (degrees: number): number => degrees - 360 * Math.round(degrees / 360);
