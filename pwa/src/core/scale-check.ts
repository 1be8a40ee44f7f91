import { fields, list, number, words } from "./json";

/** Answers of the core's method “scale-check”, and what the laptop keeps of them. */

export interface CheckPoint {
  name: string;
  error: number;
  u: number;
}

/** What one weighing of a load is worth, in grams; u is a standard uncertainty. */
export interface Worth {
  load: number;
  u: number;
  /** What had to be assumed without the check. */
  unchecked: number;
  correction: number;
  assumed: boolean;
}

export interface ScaleCheck {
  assumed: boolean;
  repeatability: boolean;
  calibration: boolean;
  drift: boolean;
  /** The errors themselves in grams, as they are kept with each weight; null where none was found. */
  errors: { repeatability: number; linearity: number; drift: number } | null;
  points: CheckPoint[];
  byLoad: Worth[];
  findings: string[];
  advice: string[];
  coinWarning: string;
  /** Why it is old; null when nobody asked. */
  age: { days: number; old: boolean; reasons: string[] } | null;
}

export function readScaleCheck(x: unknown): ScaleCheck | null {
  const c = fields(x);
  const byLoad = list(c.by_load).flatMap(readWorth);
  if (byLoad.length === 0) return null;
  const calibration = fields(c.calibration);
  return {
    assumed: c.assumed !== false,
    repeatability: fields(c.repeatability).measured === true,
    calibration: calibration.measured === true,
    drift: fields(c.drift).measured === true,
    errors: readErrors(c),
    points: list(calibration.points).flatMap(readPoint),
    byLoad,
    findings: list(c.findings).map(words).filter(Boolean),
    advice: list(c.advice).map(words).filter(Boolean),
    coinWarning: words(c.coin_warning),
    age: readAge(c.age),
  };
}

function readErrors(c: Record<string, unknown>): ScaleCheck["errors"] {
  const repeatability = number(fields(c.repeatability).in_u_g);
  if (repeatability === null) return null;
  return {
    repeatability,
    linearity: number(fields(c.calibration).linearity_g) ?? 0,
    drift: number(fields(c.drift).in_u_g) ?? 0,
  };
}

function readWorth(x: unknown): Worth[] {
  const w = fields(x);
  const [load, u, unchecked, correction] = [
    number(w.load_g),
    number(w.u_g),
    number(w.u_unchecked_g),
    number(w.correction_g),
  ];
  if (load === null || u === null || unchecked === null || correction === null) return [];
  return [{ load, u, unchecked, correction, assumed: w.assumed === true }];
}

function readPoint(x: unknown): CheckPoint[] {
  const p = fields(x);
  const [error, u] = [number(p.error_g), number(p.u_error_g)];
  return error === null || u === null ? [] : [{ name: words(p.name), error, u }];
}

function readAge(x: unknown): ScaleCheck["age"] {
  const a = fields(x);
  const days = number(a.days);
  if (days === null) return null;
  return { days, old: a.old === true, reasons: list(a.reasons).map(words).filter(Boolean) };
}

export interface ScaleName {
  name: string;
  format: string;
}

/** The newest check of a scale, as the laptop keeps it. */
export interface KeptCheck {
  scale: ScaleName | null;
  /** Null: never checked. */
  check: { id: number; taken: string; temperature: string; place: string; result: ScaleCheck } | null;
}

export function readKeptCheck(x: unknown): KeptCheck {
  const k = fields(x);
  const s = fields(k.scale);
  const c = fields(k.check);
  const record = fields(c.record);
  const result = readScaleCheck(c.result);
  const id = number(c.id);
  return {
    scale: words(s.name) ? { name: words(s.name), format: words(s.format) } : null,
    check:
      id === null || !result
        ? null
        : {
            id,
            taken: words(c.taken),
            temperature: String(record.temperature_c ?? ""),
            place: words(record.place),
            result,
          },
  };
}
