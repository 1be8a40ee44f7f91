import type { Call } from "../core/types";
import type { Tone } from "../device/tones";
import { text } from "../text";
import type { Shown } from "../weigh/live-verdict";
import { metalSign } from "./metal-sign";

/** What a verdict is counted as; the core's tally, in the words and tones of a sitting. */
export interface Kind {
  key: string;
  /** The key that it had before metals had ids; choices may be kept by it. */
  keyBefore: string;
  label: string;
  call: Call;
  /** Ordinary but for a rival that weight doesn't tell apart. */
  noted: boolean;
  tone: Tone;
  /** Put on the set-aside list unless the person says otherwise. */
  aside: boolean;
  keeper: boolean;
  /** What of the hunter's list it is, where its metal doesn't say so. */
  wanted: string;
  /** The metal in a few letters, to be told apart at a glance; empty where it names none. */
  sign: string;
  /** Its metal is struck now. */
  current: boolean;
}

export function kindOf({ verdict: v, question: q }: Shown): Kind {
  const { name, aside, noted, current, keeper } = v.tally;
  const doubt = v.call === "either" && !noted;
  // By what doesn't change with the language, nor with the words of a new version.
  const of = name && (v.metal?.id ?? (v.call === "either" ? name : (v.alloys[0]?.name ?? name)));
  const wanted = keeper ? v.wanted : [];
  const keyOf = (...parts: string[]) =>
    [noted ? "noted" : v.call, q.denomination, ...parts].filter(Boolean).join("/");
  return {
    key: keyOf(of, wanted.map((w) => w.id).join("+")),
    keyBefore: keyOf(name && (doubt ? name : (v.alloys[0]?.name ?? name))),
    label: name || text.call[v.call],
    call: v.call,
    noted,
    tone: toneOf(v),
    aside,
    keeper,
    wanted: wanted
      .map((w) => w.name)
      .filter((w) => !name.toLowerCase().includes(w.toLowerCase()))
      .join(", "),
    sign: name && (v.metal || v.call !== "either") ? metalSign(v.alloys[0]?.fractions ?? {}) : "",
    current,
  };
}

function toneOf({ call, tally }: Shown["verdict"]): Tone {
  if (call === "cannot-tell") return "unsure";
  if (tally.keeper) return "keeper";
  if (tally.aside) return "look";
  return tally.current ? "newer" : "older";
}
