import { imageSize } from "image-size";
import type { Bytes, PhotoTools, Picture } from "./photos";
import { PhotoFault } from "./photos";
import { withoutPosition } from "./photos-exif";

/** Photos by the browser's own decoder and encoder. */
export const browserPhotos: PhotoTools = {
  size: (bytes) => imageSize(bytes),
  decode,
  withoutPosition,
  async sha256(bytes) {
    // Without an encrypted line the browser has no cryptography to name a photo by.
    if (!globalThis.crypto?.subtle) throw new PhotoFault("insecure");
    const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
    return Array.from(sum, (b) => b.toString(16).padStart(2, "0")).join("");
  },
};

async function decode(bytes: Bytes, type: string): Promise<Picture> {
  const bitmap = await createImageBitmap(new Blob([bytes], { type }), { imageOrientation: "from-image" });
  const { width, height } = bitmap;
  return {
    width,
    height,
    close: () => bitmap.close(),
    async encode(side, as, quality) {
      const scale = Math.min(1, side / Math.max(width, height));
      const canvas = document.createElement("canvas");
      canvas.width = Math.max(1, Math.round(width * scale));
      canvas.height = Math.max(1, Math.round(height * scale));
      const pen = canvas.getContext("2d");
      if (!pen) throw new Error("the browser gives no canvas");
      pen.imageSmoothingQuality = "high";
      pen.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
      const blob = await new Promise<Blob | null>((done) => canvas.toBlob(done, as, quality));
      canvas.width = 0; // some phones give the memory back only so
      if (!blob) throw new Error("the browser couldn't encode the picture");
      return new Uint8Array(await blob.arrayBuffer());
    },
  };
}
