import { text } from "../text";
import type { Session } from "./session";

/** What is said when nothing answers: on the laptop itself, it isn’t a phone that is out of reach. */
export function lineLostWords(session: Session): string {
  const state = session.state.value;
  return state.at === "joined" && state.device.role === "desk" ? text.line.lostHere : text.line.lost;
}
