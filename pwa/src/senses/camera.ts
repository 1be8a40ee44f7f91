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

/** What a refusal of the browser's comes down to. */
export function cameraTroubleOf(cause: unknown): CameraTrouble {
  if (cause instanceof NoCamera) return cause.why;
  switch (cause instanceof Error ? cause.name : "") {
    case "NotAllowedError":
    case "SecurityError":
      return "refused";
    case "NotFoundError":
    case "OverconstrainedError":
      return "none";
    case "NotReadableError":
    case "AbortError":
      return "held";
  }
  return "failed";
}

/** Enough for digits of a fifth of the picture's width, and little to copy. */
const mostWidth = 640;

export const browserCamera: OpenCamera = async (lost) => {
  const devices = navigator.mediaDevices as MediaDevices | undefined; // absent on a page without an encrypted address
  if (!devices?.getUserMedia) throw new NoCamera("not-encrypted");
  const stream = await devices.getUserMedia({
    audio: false,
    video: { facingMode: { ideal: "environment" }, width: { ideal: mostWidth }, height: { ideal: 480 } },
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
    const scale = Math.min(1, mostWidth / view.videoWidth);
    const [width, height] = [Math.round(view.videoWidth * scale), Math.round(view.videoHeight * scale)];
    const canvas = document.createElement("canvas");
    canvas.width = width;
    canvas.height = height;
    const paper = canvas.getContext("2d", { willReadFrequently: true });
    if (!paper) throw new NoCamera("failed");
    return {
      view,
      width,
      height,
      grab(part) {
        if (view.paused) void view.play().catch(() => {}); // the browser pauses it when its page is left
        if (view.readyState < view.HAVE_CURRENT_DATA) return null;
        paper.drawImage(view, 0, 0, width, height);
        // A copy, since what is handed to the worker must be this page's own.
        const { data } = paper.getImageData(part.x, part.y, part.width, part.height);
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
};
