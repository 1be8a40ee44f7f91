/** What keeps any microphone or camera from being had. */
export type DeviceTrouble = "refused" | "none" | "held" | "failed";

/** What a refusal of the browser’s comes down to. */
export function deviceTroubleOf(cause: unknown): DeviceTrouble {
  switch (cause instanceof Error ? cause.name : "") {
    case "NotAllowedError":
    case "SecurityError":
      return "refused";
    case "NotFoundError":
    case "OverconstrainedError":
      return "none";
    case "NotReadableError":
    case "AbortError":
      return "held";
  }
  return "failed";
}
