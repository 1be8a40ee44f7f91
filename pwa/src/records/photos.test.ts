import { createHash } from "node:crypto";
import { imageSize } from "image-size";
import piexif from "piexifjs";
import { describe, expect, it } from "vitest";
import { type Bytes, kindOf, maxPhotoBytes, type PhotoTools, takePhoto } from "./photos";
import { isBare, withoutPosition } from "./photos-exif";

const bytes = (...parts: (number[] | string)[]): Bytes =>
  new Uint8Array(parts.flatMap((p) => (typeof p === "string" ? [...p].map((c) => c.charCodeAt(0)) : p)));

/** The smallest JPEG that has what every JPEG has: a frame of 3 × 2 pixels and a scan (ITU-T T.81, annex B). */
const frame = [0xff, 0xc0, 0, 11, 8, 0, 2, 0, 3, 1, 1, 0x11, 0];
const scan = [0xff, 0xda, 0, 8, 1, 1, 0, 0, 63, 0, 0x12, 0xff, 0, 0x34, 0xff, 0xd0, 0x56];
const jfif = bytes([0xff, 0xe0, 0, 16], "JFIF\0", [1, 1, 0, 0, 1, 0, 1, 0, 0]);
const end = [0xff, 0xd9];
const jpeg = (...segments: Uint8Array[]): Bytes =>
  bytes([0xff, 0xd8], [...jfif], ...segments.map((s) => [...s]), frame, scan, end);
const segment = (marker: number, body: Uint8Array): Uint8Array =>
  bytes([0xff, marker, (body.length + 2) >> 8, (body.length + 2) & 255], [...body]);

const text = (b: Uint8Array) => Buffer.from(b).toString("latin1");
const located = (orientation: number): Bytes => {
  const exif = piexif.dump({
    "0th": { [piexif.ImageIFD.Orientation]: orientation },
    GPS: {
      [piexif.GPSIFD.GPSLatitudeRef]: "N",
      [piexif.GPSIFD.GPSLatitude]: [
        [47, 1],
        [22, 1],
        [0, 1],
      ],
    },
  });
  return new Uint8Array(Buffer.from(piexif.insert(exif, text(jpeg())), "latin1"));
};

describe("withoutPosition", () => {
  it("takes the position out and leaves the pixels as they are", () => {
    const clean = withoutPosition(located(1));
    expect(text(clean as Bytes)).not.toContain("Exif");
    expect([...(clean as Bytes)].slice(-(frame.length + scan.length + 2))).toEqual([
      ...frame,
      ...scan,
      ...end,
    ]);
  });

  it("leaves the orientation, without which the picture would lie on its side", () => {
    const clean = withoutPosition(located(6)) as Bytes;
    const exif = piexif.load(text(clean));
    expect(exif["0th"]?.[piexif.ImageIFD.Orientation]).toBe(6);
    expect(Object.keys(exif.GPS ?? {})).toEqual([]);
  });

  it.each([
    ["an XMP packet", jpeg(segment(0xe1, bytes("http://ns.adobe.com/xap/1.0/\0<x exif:GPSLatitude='47'/>")))],
    ["IPTC data", jpeg(segment(0xed, bytes("Photoshop 3.0\0")))],
    ["a comment", jpeg(segment(0xfe, bytes("taken at home")))],
    ["a second picture in the first", jpeg(segment(0xe2, bytes("MPF\0")))],
    ["a film behind the picture", bytes([...jpeg()], "....ftypmp42")],
    ["a picture that breaks off", jpeg().slice(0, -2)],
    ["no picture", bytes("nothing")],
  ])("has %s encoded anew", (_, photo) => {
    expect(withoutPosition(photo)).toBeNull();
  });

  it("knows a bare picture, with a colour profile and restarts in the scan", () => {
    expect(isBare(jpeg(segment(0xe2, bytes("ICC_PROFILE\0", [1, 1]))))).toBe(true);
  });

  it("knows that an Exif block with more than an orientation may hold a place", () => {
    expect(isBare(jpeg(segment(0xe1, bytes("Exif\0\0", "x".repeat(80)))))).toBe(false);
  });
});

/** Stands in for the browser's decoder; encodes to bytes that name their size. */
function tools(over: Partial<PhotoTools> = {}): PhotoTools & { closed: number } {
  const t = {
    closed: 0,
    size: (b: Bytes) => imageSize(b),
    decode: async () => ({
      width: 4000,
      height: 3000,
      encode: async (side: number, type: string) => bytes(`${type} ${Math.min(side, 4000)}`),
      close: () => {
        t.closed++;
      },
    }),
    withoutPosition,
    sha256: async (b: Bytes) => createHash("sha256").update(b).digest("hex"),
    ...over,
  };
  return t;
}

const file = (b: Bytes) => new Blob([b]);

describe("takePhoto", () => {
  it("keeps a smaller picture with its hash and size, and a thumb", async () => {
    const t = tools();
    const taken = await takePhoto(file(located(6)), false, t, 77);
    expect(taken.photo).toMatchObject({ type: "image/jpeg", width: 2400, height: 1800, taken: 77 });
    expect(taken.photo.from).toBeUndefined();
    expect(taken.stored).toHaveLength(1);
    const [kept] = taken.stored;
    expect(kept?.sha256).toBe(createHash("sha256").update("image/jpeg 2400").digest("hex"));
    expect(taken.photo).toMatchObject({ sha256: kept?.sha256, bytes: kept?.bytes.byteLength });
    expect(taken.thumb.sha256).toBe(kept?.sha256);
    expect(t.closed).toBe(1);
  });

  it("keeps the original too if that is wanted, never with its position", async () => {
    const taken = await takePhoto(file(located(1)), true, tools(), 0);
    expect(taken.stored).toHaveLength(2);
    const original = taken.stored[1];
    expect(taken.photo.from).toBe(original?.sha256);
    expect(text(new Uint8Array(original?.bytes ?? new ArrayBuffer(0)))).not.toContain("Exif");
    const anew = await takePhoto(file(jpeg(segment(0xfe, bytes("home")))), true, tools(), 0);
    expect(text(new Uint8Array(anew.stored[1]?.bytes ?? new ArrayBuffer(0)))).toContain("image/jpeg 4000");
  });

  const png = (width: number, height: number) => {
    const b = new Uint8Array(33);
    b.set(bytes([0x89], "PNG\r\n", [0x1a, 0x0a, 0, 0, 0, 13], "IHDR"));
    new DataView(b.buffer).setUint32(16, width);
    new DataView(b.buffer).setUint32(20, height);
    return b;
  };

  it("has the original of another kind encoded anew, since its place may stand anywhere in it", async () => {
    const taken = await takePhoto(file(png(40, 30)), true, tools(), 0);
    expect(text(new Uint8Array(taken.stored[1]?.bytes ?? new ArrayBuffer(0)))).toBe("image/png 4000");
    expect(taken.stored[1]?.type).toBe("image/png");
  });

  it("leaves out an original that the laptop wouldn't take", async () => {
    const t = tools({
      decode: async () => ({
        width: 4000,
        height: 3000,
        encode: async (side: number) => new Uint8Array(side > 4000 ? maxPhotoBytes + 1 : 10),
        close: () => {},
      }),
    });
    expect((await takePhoto(file(png(40, 30)), true, t, 0)).stored).toHaveLength(1);
  });

  it("refuses a picture that claims more pixels than a phone can hold, before it is decoded", async () => {
    let decoded = false;
    const t = tools({
      decode: () => {
        decoded = true;
        return Promise.reject(new Error("never"));
      },
    });
    await expect(takePhoto(file(png(50_000, 50_000)), false, t, 0)).rejects.toMatchObject({
      trouble: "too-many-pixels",
    });
    expect(decoded).toBe(false);
  });

  it.each([
    ["a text", bytes("hello"), "not-a-photo"],
    ["a picture of another kind", bytes("GIF89a"), "not-a-photo"],
    ["a page that claims to be a picture", bytes("<svg onload='x'/>"), "not-a-photo"],
    ["a header and nothing else", bytes([0xff, 0xd8, 0xff]), "unreadable"],
    ["a picture of no size", png(0, 5), "unreadable"],
  ])("refuses %s", async (_, b, trouble) => {
    await expect(takePhoto(file(b), false, tools(), 0)).rejects.toMatchObject({ trouble });
  });

  it("refuses what the browser can't decode, and more than 25 MB without reading it", async () => {
    const broken = tools({ decode: () => Promise.reject(new Error("bad data")) });
    await expect(takePhoto(file(jpeg()), false, broken, 0)).rejects.toMatchObject({ trouble: "unreadable" });
    const huge = { size: maxPhotoBytes + 1, arrayBuffer: () => Promise.reject(new Error("read")) };
    await expect(takePhoto(huge as unknown as Blob, false, tools(), 0)).rejects.toMatchObject({
      trouble: "too-big",
    });
  });

  it("knows the three kinds by their first bytes", () => {
    expect(kindOf(jpeg())).toBe("image/jpeg");
    expect(kindOf(png(1, 1))).toBe("image/png");
    expect(kindOf(bytes("RIFF", [0, 0, 0, 0], "WEBPVP8 "))).toBe("image/webp");
  });
});
