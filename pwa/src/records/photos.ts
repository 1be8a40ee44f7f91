import type { PhotoOf } from "../core/journal";
import type { StoredPhoto, Thumb } from "./db";

/** At most so many bytes of one photo, as on the laptop. */
export const maxPhotoBytes = 25 << 20;
/** At most so many pixels, as on the laptop: a small file may unfold into gigabytes. */
export const maxPixels = 64_000_000;
/** The longer side of the picture that is kept; enough for a mint mark through a loupe. */
export const keptSide = 2400;
export const thumbSide = 240;

/** Why a file wasn't taken: the words for each are in the texts. */
export const photoTroubles = ["too-big", "not-a-photo", "too-many-pixels", "unreadable", "insecure"] as const;
export type PhotoTrouble = (typeof photoTroubles)[number];

export class PhotoFault extends Error {
  readonly trouble: PhotoTrouble;
  constructor(trouble: PhotoTrouble) {
    super(trouble);
    this.trouble = trouble;
  }
}

export type Bytes = Uint8Array<ArrayBuffer>;

/** A decoded picture, upright. */
export interface Picture {
  width: number;
  height: number;
  /** The picture with its longer side no more than side, encoded. */
  encode(side: number, type: string, quality: number): Promise<Bytes>;
  close(): void;
}

/** What the browser does for photos; tests stand in for it. */
export interface PhotoTools {
  /** Width and height by the file's header alone; throws if there is none. */
  size(bytes: Bytes): { width: number; height: number };
  decode(bytes: Bytes, type: string): Promise<Picture>;
  /** Without what says where and by what it was taken; null if that can't be done without encoding it anew. */
  withoutPosition(bytes: Bytes): Bytes | null;
  sha256(bytes: Bytes): Promise<string>;
}

/** A photo ready to be kept with a find. */
export interface TakenPhoto {
  photo: PhotoOf;
  stored: StoredPhoto[];
  thumb: Thumb;
}

/** What a file is by its first bytes, whatever its name says. */
export function kindOf(b: Uint8Array): string {
  const is = (at: number, ...want: number[]) => want.every((w, i) => b[at + i] === w);
  if (is(0, 0xff, 0xd8, 0xff)) return "image/jpeg";
  if (is(0, 0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a)) return "image/png";
  if (is(0, 0x52, 0x49, 0x46, 0x46) && is(8, 0x57, 0x45, 0x42, 0x50)) return "image/webp";
  return "";
}

/**
 * Makes a photo of a file: checked, decoded, made smaller, without the place it
 * was taken at. The original is kept beside it if that is wanted.
 */
export async function takePhoto(
  file: Blob,
  wantOriginal: boolean,
  tools: PhotoTools,
  now: number,
): Promise<TakenPhoto> {
  if (file.size > maxPhotoBytes) throw new PhotoFault("too-big");
  const bytes: Bytes = new Uint8Array(await file.arrayBuffer());
  const type = kindOf(bytes);
  if (!type) throw new PhotoFault("not-a-photo");
  const picture = await decodeSafely(bytes, type, tools);
  try {
    const small = await picture.encode(keptSide, "image/jpeg", 0.86);
    const scale = Math.min(1, keptSide / Math.max(picture.width, picture.height));
    const kept = await storedOf(small, "image/jpeg", tools);
    const photo: PhotoOf = {
      sha256: kept.sha256,
      type: kept.type,
      bytes: small.length,
      width: Math.round(picture.width * scale),
      height: Math.round(picture.height * scale),
      taken: now,
    };
    const stored = [kept];
    if (wantOriginal) {
      const original = await originalOf(bytes, type, picture, tools);
      if (original && original.sha256 !== kept.sha256) {
        photo.from = original.sha256;
        stored.push(original);
      }
    }
    return { photo, stored, thumb: await thumbOf(kept.sha256, picture) };
  } finally {
    picture.close();
  }
}

/** Decodes a picture whose header doesn't claim more pixels than a phone can hold. */
export async function decodeSafely(bytes: Bytes, type: string, tools: PhotoTools): Promise<Picture> {
  let size: { width: number; height: number };
  try {
    size = tools.size(bytes);
  } catch {
    throw new PhotoFault("unreadable");
  }
  const pixels = size.width * size.height;
  if (!(pixels > 0)) throw new PhotoFault("unreadable");
  if (pixels > maxPixels) throw new PhotoFault("too-many-pixels");
  try {
    return await tools.decode(bytes, type);
  } catch {
    throw new PhotoFault("unreadable");
  }
}

export async function thumbOf(sha256: string, picture: Picture): Promise<Thumb> {
  const bytes = await picture.encode(thumbSide, "image/jpeg", 0.75);
  return { sha256, type: "image/jpeg", bytes: bytes.buffer };
}

/** The original without its position, its pixels untouched where that can be. */
async function originalOf(
  bytes: Bytes,
  type: string,
  picture: Picture,
  tools: PhotoTools,
): Promise<StoredPhoto | null> {
  const untouched = type === "image/jpeg" ? tools.withoutPosition(bytes) : null;
  if (untouched) return storedOf(untouched, type, tools);
  const as = type === "image/png" ? type : "image/jpeg";
  const anew = await picture.encode(Number.POSITIVE_INFINITY, as, 0.95);
  return anew.length > maxPhotoBytes ? null : storedOf(anew, as, tools);
}

async function storedOf(bytes: Bytes, type: string, tools: PhotoTools): Promise<StoredPhoto> {
  return { sha256: await tools.sha256(bytes), type, bytes: bytes.buffer, sent: 0, sentAt: 0, refused: "" };
}
