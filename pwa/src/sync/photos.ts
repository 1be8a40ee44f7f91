import type { Journal } from "../store/journal";
import { Refusal } from "./api";
import type { Exchange } from "./night";

/** Of one part of a photo; the laptop takes at most 1 MiB at once. */
export const partBytes = 512 << 10;

const askAtOnce = 1000;

/** How far the photos' sending has come. */
export interface PhotoProgress {
  done: number;
  of: number;
  /** Of the photo under way, 0 to 1. */
  part: number;
}

interface Have {
  have: number;
  complete: boolean;
}

/** Of these photos, those that the laptop lacks; what is not among them is checked and on its disk. */
export async function missingOf(exchange: Exchange, photos: string[]): Promise<Set<string>> {
  const missing = new Set<string>();
  for (let i = 0; i < photos.length; i += askAtOnce) {
    const some = photos.slice(i, i + askAtOnce);
    const response = await exchange("POST", "/api/v1/photos/missing", JSON.stringify({ photos: some }));
    const answer = (await response.json()) as { missing: string[] };
    for (const sha256 of answer.missing) missing.add(sha256);
  }
  return missing;
}

/**
 * Sends the photos that are only on this phone, each from where the laptop has
 * it to. A photo counts as sent when the laptop has checked its hash and says
 * that it is complete; what it never takes is noted with its reason.
 */
export async function sendPhotos(
  journal: Journal,
  exchange: Exchange,
  part: number,
  onProgress: (p: PhotoProgress) => void,
  /** Asked after each photo, so that new entries don't wait for all of them. */
  goOn: () => boolean = () => true,
): Promise<void> {
  const unsent = await journal.photos.unsent();
  if (unsent.length === 0) return;
  const missing = await missingOf(exchange, unsent);
  let done = 0;
  for (const sha256 of unsent) {
    const tell = (sent: number) => onProgress({ done, of: unsent.length, part: sent });
    tell(0);
    if (missing.has(sha256)) await sendPhoto(journal, exchange, sha256, part, tell);
    else await journal.photos.markSent(sha256);
    done++;
    if (!goOn()) return;
  }
  onProgress({ done, of: unsent.length, part: 0 });
}

async function sendPhoto(
  journal: Journal,
  exchange: Exchange,
  sha256: string,
  most: number,
  tell: (sent: number) => void,
): Promise<void> {
  const photo = await journal.photos.one(sha256);
  if (!photo) return;
  const total = photo.bytes.byteLength;
  try {
    let at = await read(exchange("GET", `/api/v1/photos/${sha256}/progress`));
    for (let torn = 0, stalled = 0; !at.complete; ) {
      const from = at.have >= total ? 0 : at.have; // all is there and not taken: it is torn, begin again
      const to = Math.min(from + most, total);
      const part = new Uint8Array(photo.bytes.slice(from, to));
      try {
        const next = await read(
          exchange("PUT", `/api/v1/photos/${sha256}`, part, {
            "Content-Type": photo.type,
            "Content-Range": `bytes ${from}-${to - 1}/${total}`,
          }),
        );
        stalled = next.have > at.have ? 0 : stalled + 1;
        at = next;
      } catch (cause) {
        if (!(cause instanceof Refusal) || cause.code !== "photo-torn" || ++torn > 1) throw cause;
        at = { have: 0, complete: false };
      }
      if (stalled > 3) throw new Refusal("internal", "");
      tell(at.have / total);
    }
    await journal.photos.markSent(sha256);
  } catch (cause) {
    if (!(cause instanceof Refusal) || cause.code !== "photo-refused") throw cause;
    await journal.photos.markRefused(sha256, cause.sentence || cause.code);
  }
}

async function read(response: Promise<Response>): Promise<Have> {
  const p = (await (await response).json()) as Have;
  return { have: p.have, complete: p.complete === true };
}

/**
 * Frees photos that the laptop has had for long. It is asked once more before
 * any goes: it may have been put back from a backup meanwhile.
 */
export async function freePhotos(journal: Journal, exchange: Exchange, sentBefore: number): Promise<void> {
  const old = await journal.photos.longSent(sentBefore);
  if (old.length === 0) return;
  const missing = await missingOf(exchange, old);
  await journal.photos.checked(
    old.filter((sha256) => !missing.has(sha256)),
    [...missing],
  );
}
