import { signal } from "@preact/signals";
import { describe, expect, it } from "vitest";
import type { Answer } from "../core/types";
import {
  type BrowserBluetooth,
  NoRadioScale,
  type PickRadioScale,
  pickBy,
  RadioScale,
  type RadioTrouble,
} from "./radio-scale";

const settled = () => new Promise((resolve) => setTimeout(resolve, 0));
const error = (name: string) => new DOMException("", name);

/** A browser's Bluetooth with one scale, whose parts fail as a test says. */
class FakeBluetooth {
  available = true;
  fails: Record<string, Error> = {};
  feature: number[] | null = [0x38, 0, 0, 0];
  disconnected = 0;
  device = Object.assign(new EventTarget(), {
    name: "Kitchen scale",
    gatt: {
      connect: async () => {
        this.may("connect");
        return { getPrimaryService: async (id: number) => this.service(id) };
      },
      disconnect: () => void this.disconnected++,
    },
  });
  private measurement = Object.assign(new EventTarget(), {
    value: undefined as DataView | undefined,
    readValue: async () => new DataView(new ArrayBuffer(0)),
    startNotifications: async () => this.may("notify"),
  });

  readonly bluetooth: BrowserBluetooth = {
    getAvailability: async () => this.available,
    requestDevice: async (wanted) => {
      expect(wanted).toEqual({ filters: [{ services: [0x181d] }] });
      this.may("pick");
      return this.device;
    },
  };

  send(...measurement: number[]): void {
    // Bytes in the middle of a buffer, as browsers may hand them over.
    const b = new Uint8Array([9, 9, ...measurement, 9]);
    this.measurement.value = new DataView(b.buffer, 2, measurement.length);
    this.measurement.dispatchEvent(new Event("characteristicvaluechanged"));
  }
  leave(): void {
    this.device.dispatchEvent(new Event("gattserverdisconnected"));
  }

  private may(what: string): void {
    const failure = this.fails[what];
    if (failure) throw failure;
  }
  private service(id: number) {
    expect(id).toBe(0x181d);
    this.may("service");
    return {
      getCharacteristic: async (id: number) => {
        if (id === 0x2a9d) {
          this.may("measurement");
          return this.measurement;
        }
        expect(id).toBe(0x2a9e);
        const { feature } = this;
        if (!feature) throw error("NotFoundError");
        return Object.assign(new EventTarget(), {
          readValue: async () => new DataView(new Uint8Array(feature).buffer),
          startNotifications: async () => {},
        });
      },
    };
  }
}

function phone(fake = new FakeBluetooth(), pick: PickRadioScale = pickBy(fake.bluetooth)) {
  const asked: unknown[] = [];
  const language = signal("en");
  const scale = new RadioScale(
    {
      language,
      call: async (method, question): Promise<Answer<unknown>> => {
        expect(method).toBe("radio-weight");
        asked.push(question);
        const { measurement } = question as { measurement: number[] };
        const value = measurement.length ? "1.000" : "";
        return {
          ok: {
            value,
            unit: value && "kg",
            problem: { code: "too-coarse", sentence: `${language.value}: too coarse` },
          },
        };
      },
    },
    pick,
  );
  return { fake, scale, asked, language };
}

describe("a scale that is picked", () => {
  it("has its steps spoken of at once, and each measurement read by the core", async () => {
    const { fake, scale, asked } = phone();
    await scale.connect();
    expect(scale.state.value).toEqual({ is: "on", name: "Kitchen scale" });
    await settled();
    expect(scale.weight.value).toEqual({ value: "", unit: "", sentence: "en: too coarse" });
    fake.send(0, 200, 0);
    await settled();
    expect(asked).toEqual([
      { feature: [0x38, 0, 0, 0], measurement: [] },
      { feature: [0x38, 0, 0, 0], measurement: [0, 200, 0] },
    ]);
    expect(scale.weight.value?.value).toBe("1.000");
  });

  it("may have no feature", async () => {
    const { fake, scale, asked } = phone();
    fake.feature = null;
    await scale.connect();
    await settled();
    expect(scale.state.value.is).toBe("on");
    expect(asked).toEqual([{ feature: [], measurement: [] }]);
  });

  it("is spoken of in another language once that is chosen", async () => {
    const { scale, language } = phone();
    await scale.connect();
    language.value = "es";
    await settled();
    expect(scale.weight.value?.sentence).toBe("es: too coarse");
  });

  it("that goes away takes its weight along", async () => {
    const { fake, scale } = phone();
    await scale.connect();
    fake.send(0, 200, 0);
    await settled();
    fake.leave();
    expect(scale.state.value).toEqual({ is: "trouble", why: "lost" });
    expect(scale.weight.value).toBeNull();
    await scale.connect();
    expect(scale.state.value.is).toBe("on");
  });

  it("is let go by stop, and what it sends then doesn't count", async () => {
    const { fake, scale } = phone();
    await scale.connect();
    scale.stop();
    expect(fake.disconnected).toBe(1);
    fake.send(0, 200, 0);
    fake.leave();
    await settled();
    expect(scale.state.value).toEqual({ is: "off" });
    expect(scale.weight.value).toBeNull();
  });

  it("that comes after stop is let go at once", async () => {
    let give: (l: { name: string; feature: number[]; close(): void }) => void = () => {};
    const { scale } = phone(undefined, () => new Promise((resolve) => (give = resolve)));
    const connecting = scale.connect();
    scale.stop();
    let closed = false;
    give({ name: "late", feature: [], close: () => (closed = true) });
    await connecting;
    expect(closed).toBe(true);
    expect(scale.state.value).toEqual({ is: "off" });
  });
});

describe("a scale that can't be had", () => {
  const troubles: [string, string, RadioTrouble][] = [
    ["pick", "NotAllowedError", "refused"],
    ["pick", "SecurityError", "refused"],
    ["pick", "InvalidStateError", "failed"],
    ["connect", "NetworkError", "failed"],
    ["service", "NotFoundError", "no-weight"],
    ["measurement", "NotFoundError", "no-weight"],
    ["notify", "NotSupportedError", "failed"],
  ];
  it.each(troubles)("by %s with %s is %s", async (what, name, why) => {
    const { fake, scale } = phone();
    fake.fails[what] = error(name);
    await scale.connect();
    expect(scale.state.value).toEqual({ is: "trouble", why });
    expect(fake.disconnected).toBe(what === "pick" ? 0 : 1);
  });

  it("since Bluetooth is off says so", async () => {
    const { fake, scale } = phone();
    fake.available = false;
    fake.fails.pick = error("NotFoundError");
    await scale.connect();
    expect(scale.state.value).toEqual({ is: "trouble", why: "off" });
  });

  it("since none was picked is no trouble", async () => {
    const { fake, scale } = phone();
    fake.fails.pick = error("NotFoundError");
    await scale.connect();
    expect(scale.state.value).toEqual({ is: "off" });
  });

  it("for a reason of another kind failed", async () => {
    const { scale } = phone(undefined, () => Promise.reject(new Error("odd")));
    await scale.connect();
    expect(scale.state.value).toEqual({ is: "trouble", why: "failed" });
    expect(new NoRadioScale("off").why).toBe("off");
  });
});
