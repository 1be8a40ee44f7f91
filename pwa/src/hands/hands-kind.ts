import type { Call } from "../core/types";
import type { Tone } from "../device/tones";
import { text } from "../text";
import type { Shown } from "../weigh/judging";

/** What a verdict is counted as; the core's tally, in the words and tones of a sitting. */
export interface Kind {
  key: string;
  label: string;
  call: Call;
  /** Ordinary but for a rival that weight doesn't tell apart. */
  noted: boolean;
  tone: Tone;
  /** Put on the set-aside list unless the person says otherwise. */
  aside: boolean;
}

export function kindOf({ verdict: v, question: q }: Shown): Kind {
  const { name, aside, noted } = v.tally;
  const doubt = v.call === "either" && !noted;
  // Where one alloy is counted, its whole name tells it from others of the same short one.
  const of = doubt ? name : name && (v.alloys[0]?.name ?? name);
  return {
    key: [noted ? "noted" : v.call, q.denomination, of].filter(Boolean).join("/"),
    label: name || text.call[v.call],
    call: v.call,
    noted,
    tone: toneOf(v),
    aside,
  };
}

function toneOf({ call, tally }: Shown["verdict"]): Tone {
  if (call === "cannot-tell") return "unsure";
  if (tally.aside) return "look";
  return tally.current ? "newer" : "older";
}
