import { signal } from "@preact/signals";
import { describe, expect, it } from "vitest";
import { Refusal } from "../laptop/api";
import { automatic, type ScaleSettings } from "../scale/scale-settings";
import type { CameraScale, CameraState } from "../senses/camera-scale";
import type { Looked } from "../senses/eye";
import { CameraShare } from "./camera-share";

function table() {
  const said: object[] = [];
  const set: ScaleSettings[] = [];
  const laptop = { settings: { ...automatic("/dev/ttyUSB0"), format: "print-line" }, refuses: "" };
  const camera = {
    seen: signal<Looked | null>(null),
    state: signal<CameraState>({ is: "reading" }),
  };
  const share = new CameraShare(
    {
      exchange: async (method, _, body) => {
        if (method === "PUT") {
          const asked = JSON.parse(String(body)) as ScaleSettings;
          set.push(asked);
          if (asked.port === laptop.refuses) throw new Refusal("bad-input", "Not here.", "port");
          laptop.settings = asked;
        }
        return new Response(JSON.stringify({ settings: laptop.settings }));
      },
      core: async () => "",
    },
    camera as unknown as CameraScale,
    { say: (m) => said.push(m) > 0 },
  );
  const sees = (why: Looked["why"], text = "") => {
    camera.seen.value = { why, text, taught: true };
  };
  return { share, camera, said, set, laptop, sees };
}

describe("what the camera reads, shared with the table", () => {
  it("goes out while it is shared, as numbers and reasons alone", async () => {
    const t = table();
    t.sees("", "3.11");
    expect(t.said).toEqual([]);
    await t.share.start();
    t.sees("moving");
    t.sees("", "5.67");
    expect(t.set.at(-1)).toEqual(automatic("camera"));
    expect(t.said).toEqual([
      { type: "display", shown: "3.11" },
      { type: "display", why: "moving" },
      { type: "display", shown: "5.67" },
    ]);
    await t.share.stop();
    t.sees("", "9.99");
    expect(t.said.length).toBe(3);
  });

  it("leaves the scale as it was before", async () => {
    const t = table();
    await t.share.start();
    await t.share.stop();
    expect(t.laptop.settings).toEqual({ ...automatic("/dev/ttyUSB0"), format: "print-line" });
  });

  it("lets the laptop look by itself where what was before can't be", async () => {
    const t = table();
    await t.share.start();
    t.laptop.refuses = "/dev/ttyUSB0";
    await t.share.stop();
    expect(t.laptop.settings).toEqual(automatic(""));
    expect(t.share.trouble.value).toBe("");
  });

  it("ends with the camera", async () => {
    const t = table();
    await t.share.start();
    t.camera.state.value = { is: "trouble", why: "held" };
    await new Promise((resolve) => setTimeout(resolve, 0));
    expect(t.share.on.value).toBe(false);
    expect(t.laptop.settings.port).toBe("/dev/ttyUSB0");
  });

  it("says why the laptop doesn’t take it", async () => {
    const t = table();
    t.laptop.refuses = "camera";
    await t.share.start();
    expect(t.share.on.value).toBe(false);
    expect(t.share.trouble.value).toBe("Not here.");
  });
});
