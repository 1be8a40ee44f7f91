import { plainNumber } from "../../core/plain-number";
import type { Form } from "../form/kept";

/** What the tools' forms hold, turned into questions to the core. */

/** A weight taken from the scale brings its uncertainty and step along; typing drops them. */
export const uOf = (field: string): string => `${field}/u`;
export const stepOf = (field: string): string => `${field}/step`;

/** The filled-in ones of the fields, as plain numbers. */
function given(form: Form, names: readonly string[]): Form {
  const out: Form = {};
  for (const name of names) {
    const value = plainNumber(form[name] ?? "");
    if (value) out[name] = value;
  }
  return out;
}

/** The two weighings; with both from the scale, the larger of their uncertainties holds for each. */
export function densityQuestion(form: Form, country: string): Form {
  const hung = form.method !== "cup";
  const q: Form = { method: hung ? "hung" : "cup" };
  Object.assign(q, given(form, ["dry_g", "wet_g", "water_c"]));
  if (hung) Object.assign(q, given(form, ["thread_g"]));
  if (form.denomination) Object.assign(q, { country, denomination: form.denomination });
  const dryU = Number(form[uOf("dry_g")] ?? 0);
  const wetU = Number(form[uOf("wet_g")] ?? 0);
  const step = form[stepOf("dry_g")] ?? form[stepOf("wet_g")];
  if (step) q.resolution_g = step;
  if (dryU > 0 && wetU > 0) q.u_g = String(Math.max(dryU, wetU));
  return q;
}

/** A roll or a pile; only with something looked for among them does the count go along. */
export function rollQuestion(form: Form): Form {
  const q: Form = { issue: form.issue ?? "" };
  Object.assign(q, given(form, ["total_g", "wrapper_g", "u_wrapper_g"]));
  if (form.other) Object.assign(q, { other: form.other }, given(form, ["count", "expected_share"]));
  const u = form[uOf("total_g")];
  const step = form[stepOf("total_g")];
  if (u) q.u_g = u;
  if (step) q.resolution_g = step;
  return q;
}

/** What was weighed and seen of a coin that nobody has named. */
export function fitsQuestion(form: Form) {
  const u = form[uOf("value")];
  const step = form[stepOf("value")];
  const { value } = given(form, ["value"]);
  const weight = u ? { mean_g: value, u_g: u, ...(step && { resolution_g: step }) } : { value };
  const evidence = given(form, ["diameter_mm"]);
  for (const field of ["colour", "magnetic", "edge"]) {
    const answer = form[field];
    if (answer) evidence[field] = answer;
  }
  return { ...weight, ...given(form, ["year"]), evidence };
}

/** The first of the fields that must be filled in and isn’t; empty if all are. */
export const firstEmpty = (form: Form, labels: Record<string, string>): string =>
  Object.keys(labels).find((name) => !form[name]?.trim()) ?? "";
