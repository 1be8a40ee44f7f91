import type { Call } from "../core/types";
import { text } from "../text";
import type { Shown } from "./judging";
import type { Tone } from "./tones";

/** What a verdict is counted as. */
export interface Kind {
  key: string;
  label: string;
  call: Call;
  /** Ordinary but for a date that only the eye can read. */
  noted: boolean;
  tone: Tone;
  /** Put on the set-aside list unless the person says otherwise. */
  aside: boolean;
}

/** An alloy this likely beside a rival that only the date tells apart is counted as ordinary. */
const mostLikely = 0.9;
/** An alloy struck for so few years is worth a look where no year was given. */
const fewYears = 4;

export function kindOf(shown: Shown): Kind {
  const { verdict: v, question: q } = shown;
  const best = v.alloys[0];
  const call = v.call;
  if (call === "look") {
    return {
      key: `look/${q.denomination}`,
      label: text.call.look,
      call,
      noted: false,
      tone: "look",
      aside: true,
    };
  }
  if (call === "cannot-tell") {
    const label = text.call["cannot-tell"];
    return { key: `cannot-tell/${q.denomination}`, label, call, noted: false, tone: "unsure", aside: false };
  }
  const noted = call === "either" && (best?.probability ?? 0) >= mostLikely;
  if (call === "either" && !noted) {
    const label = upToColon(v.headline);
    return { key: `either/${q.denomination}/${label}`, label, call, noted, tone: "look", aside: true };
  }
  const rare = !noted && q.year === 0 && isShort(best?.years ?? "");
  return {
    key: `${noted ? "noted" : "ordinary"}/${q.denomination}/${best?.name ?? v.headline}`,
    label: best ? metal(best.name) : upToColon(v.headline),
    call,
    noted,
    tone: rare ? "look" : isCurrent(best?.years ?? "") ? "newer" : "older",
    aside: rare,
  };
}

/** “1982–”: still struck. */
const isCurrent = (years: string): boolean => years.endsWith("–");

/** Struck for a few years only, as “1943” or “1942–1945”. */
function isShort(years: string): boolean {
  if (years === "" || isCurrent(years)) return false;
  let n = 0;
  for (const run of years.split(", ")) {
    const [first, last] = run.split("–").map(Number);
    if (!first) return false;
    n += (last || first) - first + 1;
  }
  return n <= fewYears;
}

function metal(alloy: string): string {
  const name = alloy.split(/, | with /)[0] ?? alloy;
  return name.charAt(0).toUpperCase() + name.slice(1);
}

const upToColon = (headline: string): string => (headline.split(/[:.]/)[0] ?? headline).trim();
