import { deviceTroubleOf } from "./refused";

/** Why the camera gives no picture. */
export const cameraTroubles = ["not-encrypted", "none", "refused", "held", "failed"] as const;
export type CameraTrouble = (typeof cameraTroubles)[number];

/** One picture, as RGBA. */
export interface Picture {
  width: number;
  height: number;
  rgba: Uint8ClampedArray<ArrayBuffer>;
}

/** A part of a picture, in whole pixels of it. */
export interface Part {
  x: number;
  y: number;
  width: number;
  height: number;
}

/** A camera that is on. */
export interface Camera {
  /** What a screen shows; null where there is nothing to show. */
  view: HTMLVideoElement | null;
  width: number;
  height: number;
  /** A part of the newest picture; null before the first. */
  grab(part: Part): Picture | null;
  /** Switches it off. */
  stop(): void;
}

/** Switches the camera on; rejects with what cameraTroubleOf understands. */
export type OpenCamera = (lost: () => void) => Promise<Camera>;

export class NoCamera extends Error {
  readonly why: CameraTrouble;

  constructor(why: CameraTrouble) {
    super(why);
    this.why = why;
  }
}

/** Why it can’t be had. */
export const cameraTroubleOf = (cause: unknown): CameraTrouble =>
  cause instanceof NoCamera ? cause.why : deviceTroubleOf(cause);

/** Enough for digits of a fifth of the picture's width, and little to copy. */
const mostWidth = 640;

/** Which camera is wanted, and how wide its picture is to be at most. */
export interface Wish {
  mostWidth: number;
  height: number;
  /** One of camerasThere; the one at the back if none is named. */
  device?: string;
}

export const browserCamera: OpenCamera = (lost) => openCamera(lost, { mostWidth, height: 480 });

/** Switches a camera on; rejects with what cameraTroubleOf understands. */
export async function openCamera(lost: () => void, wish: Wish): Promise<Camera> {
  const devices = navigator.mediaDevices as MediaDevices | undefined; // absent on a page without an encrypted address
  if (!devices?.getUserMedia) throw new NoCamera("not-encrypted");
  const stream = await devices.getUserMedia({
    audio: false,
    video: {
      ...(wish.device ? { deviceId: { exact: wish.device } } : { facingMode: { ideal: "environment" } }),
      width: { ideal: wish.mostWidth },
      height: { ideal: wish.height },
    },
  });
  const track = stream.getVideoTracks()[0];
  const stop = () => {
    if (track) track.onended = null;
    for (const t of stream.getTracks()) t.stop();
  };
  try {
    if (!track) throw new NoCamera("none");
    const view = document.createElement("video");
    view.muted = true;
    view.playsInline = true;
    view.srcObject = stream;
    await view.play();
    track.onended = lost; // pulled out, or taken by another program
    const scale = Math.min(1, wish.mostWidth / view.videoWidth);
    const [width, height] = [Math.round(view.videoWidth * scale), Math.round(view.videoHeight * scale)];
    const canvas = document.createElement("canvas"); // as large as the part that is wanted, which seldom changes
    const paper = canvas.getContext("2d", { willReadFrequently: true });
    if (!paper) throw new NoCamera("failed");
    return {
      view,
      width,
      height,
      grab(part) {
        if (view.paused) void view.play().catch(() => {}); // the browser pauses it when its page is left
        if (view.readyState < view.HAVE_CURRENT_DATA) return null;
        if (canvas.width !== part.width) canvas.width = part.width;
        if (canvas.height !== part.height) canvas.height = part.height;
        // The rest of the picture is neither scaled nor copied: the part by the video's own pixels.
        const [across, down] = [view.videoWidth / width, view.videoHeight / height];
        paper.drawImage(
          view,
          part.x * across,
          part.y * down,
          part.width * across,
          part.height * down,
          0,
          0,
          part.width,
          part.height,
        );
        // A copy, since what is handed to the worker must be this page's own.
        const { data } = paper.getImageData(0, 0, part.width, part.height);
        return { width: part.width, height: part.height, rgba: new Uint8ClampedArray(data) };
      },
      stop() {
        stop();
        view.srcObject = null;
      },
    };
  } catch (cause) {
    stop();
    throw cause;
  }
}

/** The cameras of this device, by name; they have names only once one was allowed. */
export async function camerasThere(): Promise<{ id: string; name: string }[]> {
  const devices = navigator.mediaDevices as MediaDevices | undefined;
  const all = (await devices?.enumerateDevices().catch(() => [])) ?? [];
  return all.flatMap((d) =>
    d.kind === "videoinput" && d.deviceId ? [{ id: d.deviceId, name: d.label }] : [],
  );
}
