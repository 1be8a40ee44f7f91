import { effect, type Signal, signal } from "@preact/signals";
import type { CoreClient } from "../core/client";
import { fields, words } from "../core/json";

/** Numbers that Bluetooth assigned; see internal/radioscale. */
const weightScaleService = 0x181d;
const weightMeasurement = 0x2a9d;
const weightScaleFeature = 0x2a9e;

/** Why a scale can't be heard by this phone's Bluetooth. */
export type RadioTrouble = "off" | "refused" | "no-weight" | "lost" | "failed";

export class NoRadioScale extends Error {
  readonly why: RadioTrouble | "not-picked";

  constructor(why: RadioTrouble | "not-picked") {
    super(why);
    this.why = why;
  }
}

/** A scale that was picked and is connected. */
export interface RadioLink {
  name: string;
  /** The bytes of its Weight Scale Feature; empty if it has none. */
  feature: number[];
  close(): void;
}

/** Lets the person pick a scale and hands over each of its measurements; rejects with NoRadioScale. */
export type PickRadioScale = (take: (measurement: number[]) => void, lost: () => void) => Promise<RadioLink>;

export type RadioState =
  | { is: "off" }
  | { is: "picking" }
  | { is: "on"; name: string }
  | { is: "trouble"; why: RadioTrouble };

/** What the newest message says: a weight, if there is one, and why no coin is judged by it. */
export interface RadioWeight {
  value: string;
  unit: string;
  sentence: string;
}

/** A scale with Bluetooth's weight service, on the phone itself. What it sends is the core's to read. */
export class RadioScale {
  readonly state: Signal<RadioState> = signal({ is: "off" });
  readonly weight: Signal<RadioWeight | null> = signal(null);

  private core: Pick<CoreClient, "call" | "language">;
  private pick: PickRadioScale;
  private link: RadioLink | null = null;
  private newest: Signal<{ feature: number[]; measurement: number[] } | null> = signal(null);
  private turn = 0;
  private asking = 0;
  private forget: () => void;

  constructor(core: Pick<CoreClient, "call" | "language">, pick: PickRadioScale) {
    this.core = core;
    this.pick = pick;
    this.forget = effect(() => {
      void core.language.value; // what stands there is said anew
      void this.read(this.newest.value);
    });
  }

  /** Begins at a tap, without which a browser doesn't let anybody pick. */
  async connect(): Promise<void> {
    this.stop();
    const turn = ++this.turn;
    const mine = () => turn === this.turn;
    let feature: number[] = [];
    let early: number[] = [];
    this.state.value = { is: "picking" };
    try {
      const link = await this.pick(
        (measurement) => {
          early = measurement;
          if (mine() && this.link) this.newest.value = { feature, measurement };
        },
        () => mine() && this.end("lost"),
      );
      if (!mine()) return link.close();
      this.link = link;
      feature = link.feature;
      this.state.value = { is: "on", name: link.name };
      this.newest.value = { feature, measurement: early };
    } catch (cause) {
      if (!mine()) return;
      const why = cause instanceof NoRadioScale ? cause.why : "failed";
      if (why === "not-picked") this.stop();
      else this.end(why);
    }
  }

  stop(): void {
    this.turn++;
    this.link?.close();
    this.link = null;
    this.newest.value = null;
    this.state.value = { is: "off" };
  }

  /** Nobody looks at it any more. */
  dispose(): void {
    this.stop();
    this.forget();
  }

  private end(why: RadioTrouble): void {
    this.stop();
    this.state.value = { is: "trouble", why };
  }

  private async read(message: { feature: number[]; measurement: number[] } | null): Promise<void> {
    const asking = ++this.asking;
    if (!message) {
      this.weight.value = null;
      return;
    }
    const answer = await this.core.call("radio-weight", message);
    if (asking !== this.asking) return; // another message came meanwhile
    if ("error" in answer) {
      this.weight.value = { value: "", unit: "", sentence: answer.error.sentence };
      return;
    }
    const a = fields(answer.ok);
    this.weight.value = {
      value: words(a.value),
      unit: words(a.unit),
      sentence: words(fields(a.problem).sentence),
    };
  }
}

/** What is used of a browser's Bluetooth; TypeScript doesn't know it, since not all browsers have it. */
interface Characteristic extends EventTarget {
  value?: DataView;
  readValue(): Promise<DataView>;
  startNotifications(): Promise<unknown>;
}
interface Service {
  getCharacteristic(id: number): Promise<Characteristic>;
}
interface Device extends EventTarget {
  name?: string;
  gatt?: {
    connect(): Promise<{ getPrimaryService(id: number): Promise<Service> }>;
    disconnect(): void;
  };
}
export interface BrowserBluetooth {
  getAvailability?(): Promise<boolean>;
  requestDevice(wanted: { filters: { services: number[] }[] }): Promise<Device>;
}

/** The browser's Bluetooth; undefined where it has none, or gives it to encrypted pages alone. */
export const browserBluetooth = (): BrowserBluetooth | undefined =>
  (navigator as { bluetooth?: BrowserBluetooth }).bluetooth;

const bytes = (v: DataView | undefined): number[] =>
  v ? [...new Uint8Array(v.buffer, v.byteOffset, v.byteLength)] : [];

const nameOf = (cause: unknown): string => (cause instanceof Error ? cause.name : "");

/** Picks a scale by the browser's own list. */
export const pickBy =
  (bluetooth: BrowserBluetooth): PickRadioScale =>
  async (take, lost) => {
    const device = await request(bluetooth);
    const { gatt } = device;
    if (!gatt) throw new NoRadioScale("failed");
    const gone = () => lost();
    const close = () => {
      device.removeEventListener("gattserverdisconnected", gone);
      gatt.disconnect();
    };
    try {
      const service = await (await gatt.connect()).getPrimaryService(weightScaleService);
      const measurement = await service.getCharacteristic(weightMeasurement);
      const feature = await featureOf(service);
      device.addEventListener("gattserverdisconnected", gone);
      measurement.addEventListener("characteristicvaluechanged", () => take(bytes(measurement.value)));
      await measurement.startNotifications();
      return { name: device.name ?? "", feature, close };
    } catch (cause) {
      close();
      throw new NoRadioScale(nameOf(cause) === "NotFoundError" ? "no-weight" : "failed");
    }
  };

async function request(bluetooth: BrowserBluetooth): Promise<Device> {
  // Not awaited before the request, which the browser takes only at a tap.
  const available = bluetooth.getAvailability?.().catch(() => true);
  try {
    return await bluetooth.requestDevice({ filters: [{ services: [weightScaleService] }] });
  } catch (cause) {
    if ((await available) === false) throw new NoRadioScale("off");
    switch (nameOf(cause)) {
      case "NotFoundError":
        throw new NoRadioScale("not-picked");
      case "NotAllowedError":
      case "SecurityError":
        throw new NoRadioScale("refused");
    }
    throw new NoRadioScale("failed");
  }
}

async function featureOf(service: Service): Promise<number[]> {
  let feature: Characteristic;
  try {
    feature = await service.getCharacteristic(weightScaleFeature);
  } catch (cause) {
    if (nameOf(cause) === "NotFoundError") return []; // some scales leave it out
    throw cause;
  }
  return bytes(await feature.readValue());
}
