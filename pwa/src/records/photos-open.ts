import { imageSize } from "image-size";
import { kindOf, maxPhotoBytes, PhotoFault } from "./photos";

/** At most so many pixels are looked at; internal/senses takes no more either. */
export const mostPixels = 40_000_000;

/** A photo decoded to be looked at, upright. */
export interface OpenPhoto {
  width: number;
  height: number;
  bitmap: ImageBitmap;
  pixels(): Promise<{ width: number; height: number; rgba: Uint8ClampedArray<ArrayBuffer> }>;
}

/** Opens a photo, whose header is asked first how many pixels it unfolds into; rejects with PhotoFault. */
export async function openPhoto(file: Blob): Promise<OpenPhoto> {
  if (file.size > maxPhotoBytes) throw new PhotoFault("too-big");
  const bytes = new Uint8Array(await file.arrayBuffer());
  const type = kindOf(bytes);
  if (!type) throw new PhotoFault("not-a-photo");
  let pixels: number;
  try {
    const size = imageSize(bytes);
    pixels = size.width * size.height;
  } catch {
    throw new PhotoFault("unreadable");
  }
  if (pixels > mostPixels) throw new PhotoFault("too-many-pixels");
  try {
    return opened(await createImageBitmap(new Blob([bytes], { type }), { imageOrientation: "from-image" }));
  } catch {
    throw new PhotoFault("unreadable");
  }
}

/** A picture that is decoded already, as one of a camera. */
export function opened(bitmap: ImageBitmap): OpenPhoto {
  const { width, height } = bitmap;
  return {
    width,
    height,
    bitmap,
    pixels: async () => {
      const canvas = document.createElement("canvas");
      canvas.width = width;
      canvas.height = height;
      const pen = canvas.getContext("2d", { willReadFrequently: true });
      if (!pen) throw new Error("the browser gives no canvas");
      pen.drawImage(bitmap, 0, 0);
      const rgba = new Uint8ClampedArray(pen.getImageData(0, 0, width, height).data);
      canvas.width = 0; // some phones give the memory back only so
      return { width, height, rgba };
    },
  };
}
