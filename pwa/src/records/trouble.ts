import { noCoreHere } from "../core/client";
import { StoreFault, type StoreTrouble } from "./db";
import { CoreRefusal } from "./journal";
import { PhotoFault, type PhotoTrouble } from "./photos";

/** Why something wasn't saved or read, for the words to say. */
export type Trouble =
  | { is: "store"; trouble: StoreTrouble }
  | { is: "photo"; trouble: PhotoTrouble }
  | { is: "no-core" }
  | { is: "core"; sentence: string; field: string };

/** What a caught error means to the person; one of no known kind has no sentence. */
export function troubleOf(cause: unknown): Trouble {
  if (cause instanceof StoreFault) return { is: "store", trouble: cause.trouble };
  if (cause instanceof PhotoFault) return { is: "photo", trouble: cause.trouble };
  if (cause instanceof CoreRefusal) {
    if (cause.fault.code === noCoreHere) return { is: "no-core" };
    return { is: "core", sentence: cause.fault.sentence, field: cause.fault.field ?? "" };
  }
  return { is: "core", sentence: "", field: "" };
}
