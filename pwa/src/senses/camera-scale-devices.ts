import { Awake, type WakeLockLike } from "../device/awake";
import { browserCamera, NoCamera, type OpenCamera } from "./camera";
import type { SensesWorker } from "./senses";

interface BatteryLike {
  level: number;
  charging: boolean;
}

/** What of this browser a display is read with. */
export interface CameraDevices {
  open: OpenCamera;
  worker: () => SensesWorker;
  awake: Awake;
  /** The battery’s charge; null where the browser doesn’t tell. */
  battery?: () => Promise<BatteryLike | null>;
  now?: () => number;
  wait?: (ms: number) => Promise<void>;
}

export function browserCameraDevices(): CameraDevices {
  const page = navigator as unknown as { getBattery?: () => Promise<BatteryLike>; wakeLock?: WakeLockLike };
  return {
    open: browserCamera,
    worker: () =>
      new Worker(new URL("./senses.worker.ts", import.meta.url), { type: "module" }) as SensesWorker,
    awake: new Awake(page.wakeLock ?? null),
    battery: () => page.getBattery?.() ?? Promise.resolve(null),
  };
}

/** Where there is none. */
export const noCamera: CameraDevices = {
  open: () => Promise.reject(new NoCamera("none")),
  worker: () => ({ onmessage: null, onerror: null, postMessage() {}, terminate() {} }),
  awake: new Awake(null),
};
