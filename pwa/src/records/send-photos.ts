import { Refusal, unreachable } from "../laptop/api";
import type { Journal } from "./journal";
import type { Exchange } from "./night";
import type { PartSize } from "./part-size";

const askAtOnce = 1000;
/** The laptop reads each from its disk, so that an answer takes a while. */
const readAtOnce = 20;

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

/** How photos stand with the laptop. */
export interface Standing {
  /** It lacks them, or has them damaged. */
  missing: Set<string>;
  /** It has read them back from its disk. The rest it has and will read back. */
  verified: Set<string>;
}

export async function standingOf(exchange: Exchange, photos: string[], readNow = false): Promise<Standing> {
  const standing: Standing = { missing: new Set(), verified: new Set() };
  const most = readNow ? readAtOnce : askAtOnce;
  for (let i = 0; i < photos.length; i += most) {
    const some = { photos: photos.slice(i, i + most), read_now: readNow };
    const response = await exchange("POST", "/api/v1/photos/missing", JSON.stringify(some));
    const answer = (await response.json()) as { missing: string[]; verified?: string[] };
    for (const sha256 of answer.missing) standing.missing.add(sha256);
    for (const sha256 of answer.verified ?? []) standing.verified.add(sha256);
  }
  return standing;
}

export interface Sending {
  /** How much goes at once. */
  size: PartSize;
  now(): number;
  onProgress(p: PhotoProgress): void;
  /** Asked after each photo, so that new entries don't wait for all of them. */
  goOn(): boolean;
}

/**
 * Sends the photos that are only on this phone, each from where the laptop has
 * it to. A photo counts as sent once the laptop has read it back from its disk;
 * what it never takes is noted with its reason. How many wait to be read back.
 */
export async function sendPhotos(journal: Journal, exchange: Exchange, s: Sending): Promise<number> {
  const unsent = await journal.photos.unsent();
  if (unsent.length === 0) return 0;
  const { missing, verified } = await standingOf(exchange, unsent);
  if (verified.size > 0) await journal.photos.markSent([...verified]);
  const waiting = unsent.filter((sha256) => !missing.has(sha256) && !verified.has(sha256));
  let done = 0;
  const sent: string[] = [];
  for (const sha256 of unsent.filter((p) => missing.has(p))) {
    const tell = (part: number) => s.onProgress({ done, of: missing.size, part });
    tell(0);
    if (await sendPhoto(journal, exchange, sha256, s, tell)) sent.push(sha256);
    done++;
    if (!s.goOn()) return waiting.length + sent.length;
  }
  if (sent.length === 0) return waiting.length;
  s.onProgress({ done, of: missing.size, part: 0 });
  // A quick disk has read them back by now.
  const after = await standingOf(exchange, sent);
  if (after.verified.size > 0) await journal.photos.markSent([...after.verified]);
  return waiting.length + sent.length - after.verified.size;
}

/** Whether the laptop has all of it now. */
async function sendPhoto(
  journal: Journal,
  exchange: Exchange,
  sha256: string,
  s: Sending,
  tell: (sent: number) => void,
): Promise<boolean> {
  const photo = await journal.photos.one(sha256);
  if (!photo) return false;
  const total = photo.bytes.byteLength;
  try {
    let at = await read(exchange("GET", `/api/v1/photos/${sha256}/progress`));
    for (let torn = 0, stalled = 0; !at.complete; ) {
      const from = at.have >= total ? 0 : at.have; // all is there and not taken: it is torn, begin again
      const to = Math.min(from + s.size.now, total);
      const part = new Uint8Array(photo.bytes.slice(from, to));
      const began = s.now();
      try {
        const next = await read(
          exchange("PUT", `/api/v1/photos/${sha256}`, part, {
            "Content-Type": photo.type,
            "Content-Range": `bytes ${from}-${to - 1}/${total}`,
          }),
        );
        s.size.went(to - from, s.now() - began);
        stalled = next.have > at.have ? 0 : stalled + 1;
        at = next;
      } catch (cause) {
        if (!(cause instanceof Refusal)) throw cause;
        if (cause.code === unreachable) s.size.failed();
        if (cause.code !== "photo-torn") throw cause;
        if (++torn > 1) {
          // Sent twice from its start and wrong twice: it is this phone's own copy that is damaged.
          await journal.photos.markRefused(sha256, cause.sentence || cause.code);
          return false;
        }
        at = { have: 0, complete: false };
      }
      if (stalled > 3) throw new Refusal("internal", "");
      tell(at.have / total);
    }
    return true;
  } catch (cause) {
    if (!(cause instanceof Refusal) || cause.code !== "photo-refused") throw cause;
    await journal.photos.markRefused(sha256, cause.sentence || cause.code);
    return false;
  }
}

async function read(response: Promise<Response>): Promise<Have> {
  const p = (await (await response).json()) as Have;
  return { have: p.have, complete: p.complete === true };
}

/**
 * Frees photos that the laptop has had for long. Before any goes, the laptop
 * reads its own from the disk once more: it may have been put back from a backup
 * meanwhile, or its disk gone bad.
 */
export async function freePhotos(journal: Journal, exchange: Exchange, sentBefore: number): Promise<void> {
  const old = await journal.photos.longSent(sentBefore);
  for (let i = 0; i < old.length; i += readAtOnce) {
    const { missing, verified } = await standingOf(exchange, old.slice(i, i + readAtOnce), true);
    await journal.photos.checked([...verified], [...missing]);
  }
}
