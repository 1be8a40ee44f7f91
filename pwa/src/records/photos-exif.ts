import piexif from "piexifjs";
import type { Bytes } from "./photos";

/**
 * A JPEG without its Exif data, of which only the orientation stays, its pixels
 * untouched. null if anything is left in it that may say where it was taken: an
 * XMP or IPTC packet, a comment, a second picture or a film behind the first.
 * It has to be encoded anew then.
 */
export function withoutPosition(bytes: Bytes): Bytes | null {
  try {
    const text = textOf(bytes);
    const orientation = piexif.load(text)["0th"]?.[piexif.ImageIFD.Orientation];
    let bare = piexif.remove(text);
    if (typeof orientation === "number" && orientation > 1 && orientation <= 8) {
      const only = piexif.dump({ "0th": { [piexif.ImageIFD.Orientation]: orientation } });
      bare = piexif.insert(only, bare);
    }
    const clean = bytesOf(bare);
    return isBare(clean) ? clean : null;
  } catch {
    return null; // not in the form the library knows
  }
}

/** Longest Exif block with nothing but an orientation. */
const orientationOnly = 64;

/** Whether a JPEG holds its picture and nothing that tells of the place; the segments are those of ITU-T T.81, B.1. */
export function isBare(b: Uint8Array): boolean {
  const says = (at: number, word: string) => [...word].every((c, i) => b[at + i] === c.charCodeAt(0));
  let at = 2;
  for (;;) {
    while (b[at] === 0xff && b[at + 1] === 0xff) at++; // fill bytes
    if (b[at] !== 0xff) return false;
    const marker = b[at + 1] ?? 0;
    if (marker === 0xd9) return at + 2 === b.length; // nothing may follow the end
    const length = ((b[at + 2] ?? 0) << 8) | (b[at + 3] ?? 0);
    if (length < 2) return false;
    const body = at + 4;
    const known =
      marker < 0xe0 || // tables, frames and scans
      (marker === 0xe0 && (says(body, "JFIF\0") || says(body, "JFXX\0"))) ||
      (marker === 0xe1 && says(body, "Exif\0\0") && length <= orientationOnly) ||
      (marker === 0xe2 && says(body, "ICC_PROFILE\0")) ||
      (marker === 0xee && says(body, "Adobe"));
    if (!known) return false;
    at += 2 + length;
    if (marker !== 0xda) continue;
    // The scan's data lasts to the next marker that is neither a stuffed byte nor a restart.
    while (at < b.length && !(b[at] === 0xff && b[at + 1] !== 0 && !isRestart(b[at + 1]))) at++;
    if (at >= b.length) return false;
  }
}

const isRestart = (marker: number | undefined): boolean =>
  marker !== undefined && marker >= 0xd0 && marker <= 0xd7;

/** The library works on strings of a character a byte. */
function textOf(bytes: Uint8Array): string {
  const parts: string[] = [];
  for (let i = 0; i < bytes.length; i += 0x8000) {
    parts.push(String.fromCharCode(...bytes.subarray(i, i + 0x8000)));
  }
  return parts.join("");
}

function bytesOf(text: string): Bytes {
  const bytes = new Uint8Array(text.length);
  for (let i = 0; i < text.length; i++) bytes[i] = text.charCodeAt(i);
  return bytes;
}
