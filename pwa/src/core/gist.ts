import type { GistOf } from "./journal";
import { fields, list, words } from "./json";

/** What is kept at hand of a verdict, as the judge gives it or as a find has it; null if it is none. */
export function gistOf(verdict: unknown): GistOf | null {
  const v = fields(verdict);
  const call = words(v.call);
  if (!call) return null;
  const gist: GistOf = { call };
  // Of a find kept before verdicts named their metal, the likeliest alloy, where it was sure.
  const likeliest = v.decisive === true ? words(fields(list(v.alloys)[0]).name) : "";
  // A coin of one of two metals is called neither, though it is counted as one.
  const metal = call === "either" ? "" : words(fields(v.metal).name) || likeliest;
  if (metal && metal.length <= mostMetal) gist.metal = metal;
  const seen = list(v.answered).flatMap((a) => {
    const { choice, choices } = fields(a);
    const name = words(
      list(choices)
        .map(fields)
        .find((c) => c.id === choice)?.name,
    );
    return name && name.length <= mostSeen ? [name] : [];
  });
  if (seen.length > 0) gist.seen = seen.slice(0, mostAnswers);
  return gist;
}

/** As long as the journal takes them; internal/journal. */
const mostMetal = 60;
const mostSeen = 40;
const mostAnswers = 4;
