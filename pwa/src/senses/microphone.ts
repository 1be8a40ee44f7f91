import { deviceTroubleOf } from "./refused";

/** Why the microphone gives no sound. */
export const microphoneTroubles = [
  "not-encrypted",
  "none",
  "refused",
  "held",
  "processed",
  "silent",
  "failed",
] as const;
export type MicrophoneTrouble = (typeof microphoneTroubles)[number];

export class NoMicrophone extends Error {
  readonly why: MicrophoneTrouble;

  constructor(why: MicrophoneTrouble) {
    super(why);
    this.why = why;
  }
}

/** A microphone that is on. */
export interface Microphone {
  /** Samples a second. */
  rate: number;
  /** Switches it off; no block comes any more. */
  stop(): void;
}

/** Switches the microphone on and hands over its samples, block by block; rejects with NoMicrophone. */
export type OpenMicrophone = (
  take: (samples: Float32Array<ArrayBuffer>) => void,
  lost: () => void,
) => Promise<Microphone>;

/** Why it can’t be had. */
export const troubleOf = (cause: unknown): MicrophoneTrouble =>
  cause instanceof NoMicrophone ? cause.why : deviceTroubleOf(cause);

/** Processing for speech takes a coin's ring for noise, so all of it must be off. */
const raw = { echoCancellation: false, noiseSuppression: false, autoGainControl: false };

export const browserMicrophone: OpenMicrophone = async (take, lost) => {
  const devices = navigator.mediaDevices as MediaDevices | undefined; // absent on a page without an encrypted address
  if (!devices?.getUserMedia) throw new NoMicrophone("not-encrypted");
  const stream = await devices.getUserMedia({ audio: { ...raw, channelCount: 1 } });
  const track = stream.getAudioTracks()[0];
  const stop = () => {
    for (const t of stream.getTracks()) t.stop();
  };
  try {
    if (!track) throw new NoMicrophone("none");
    const settings = track.getSettings();
    if (settings.noiseSuppression || settings.echoCancellation) throw new NoMicrophone("processed");
    const context = new AudioContext();
    try {
      await context.resume();
      await context.audioWorklet.addModule("/copy-sound.js");
      const copy = new AudioWorkletNode(context, "copy-sound", { numberOfOutputs: 0 });
      copy.port.onmessage = ({ data }: MessageEvent<Float32Array<ArrayBuffer>>) => take(data);
      context.createMediaStreamSource(stream).connect(copy);
      track.onended = lost; // pulled out, or taken by another program
      return {
        rate: context.sampleRate,
        stop: () => {
          track.onended = null;
          copy.port.onmessage = null;
          stop();
          void context.close();
        },
      };
    } catch (cause) {
      void context.close();
      throw cause;
    }
  } catch (cause) {
    stop();
    throw cause;
  }
};
