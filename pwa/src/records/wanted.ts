import { fields } from "../core/read";
import { Refusal } from "../laptop/api";
import type { Journal } from "./journal";
import type { Exchange } from "./night";

/** A photo that should be on the laptop and isn't. */
export interface WantedPhoto {
  photo: string;
  /** damaged and gone: it was there; absent: a find names it and it isn't there. */
  why: "damaged" | "gone" | "absent";
  /** A find that names it; empty if none is known. */
  record: string;
  /** This device has it, and sends it. */
  here: boolean;
  /** Names of the devices that haven't said that they don't have it; none: nobody has it. */
  waitingFor: string[];
}

const path = "/api/v1/photos/wanted";
const askAtOnce = 1000;

/**
 * Asks which photos the laptop lacks that it should have. Those that are here
 * count as unsent again; of the others the laptop is told that they aren't.
 */
export async function answerWanted(journal: Journal, exchange: Exchange): Promise<WantedPhoto[]> {
  let list = read(await asked(exchange));
  if (list.length === 0) return [];
  const held = new Set(await journal.photos.sendAgain(list.map((w) => w.photo)));
  const lacking = list.filter((w) => !w.told && !held.has(w.photo)).map((w) => w.photo);
  for (let i = 0; i < lacking.length; i += askAtOnce) {
    const body = JSON.stringify({ v: 1, not_held: lacking.slice(i, i + askAtOnce) });
    list = read(await (await exchange("POST", path, body)).json());
  }
  return list.map(({ told: _, ...w }) => ({ ...w, here: held.has(w.photo) }));
}

async function asked(exchange: Exchange): Promise<unknown> {
  try {
    return await (await exchange("GET", path)).json();
  } catch (cause) {
    // An older program on the laptop takes “wanted” for a photo's name.
    if (cause instanceof Refusal && ["bad-input", "not-found"].includes(cause.code)) return null;
    throw cause;
  }
}

type Listed = Omit<WantedPhoto, "here"> & { told: boolean };

function read(answer: unknown): Listed[] {
  const { photos } = fields(answer);
  if (!Array.isArray(photos)) return [];
  return photos.flatMap((x) => {
    const { photo, why, record, told, waiting_for } = fields(x);
    if (typeof photo !== "string" || (why !== "damaged" && why !== "gone" && why !== "absent")) return [];
    const waitingFor = Array.isArray(waiting_for) ? waiting_for.filter((n) => typeof n === "string") : [];
    return [
      { photo, why, record: typeof record === "string" ? record : "", told: told === true, waitingFor },
    ];
  });
}
