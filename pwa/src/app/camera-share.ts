import { effect, type Signal, signal } from "@preact/signals";
import type { Api } from "../laptop/api";
import type { LiveClient } from "../live/socket";
import { automatic, readScaleView, type ScaleSettings, ScaleSettingsClient } from "../scale/scale-settings";
import type { CameraScale } from "../senses/camera-scale";

/** The laptop's name for a display that a phone reads. */
export const cameraPort = "camera";

/** Lets the others at the table weigh with what this phone's camera reads; only numbers and reasons go out. */
export class CameraShare {
  readonly on: Signal<boolean> = signal(false);
  /** What the laptop says against it; “-” without a sentence, empty while all is well. */
  readonly trouble: Signal<string> = signal("");
  private api: Pick<Api, "exchange" | "core">;
  /** How the scale was read before. */
  private before: ScaleSettings | null = null;

  constructor(api: Pick<Api, "exchange" | "core">, camera: CameraScale, line: Pick<LiveClient, "say">) {
    this.api = api;
    effect(() => {
      const seen = camera.seen.value;
      if (!this.on.value || !seen) return;
      line.say(seen.why === "" ? { type: "display", shown: seen.text } : { type: "display", why: seen.why });
    });
    effect(() => {
      const { is } = camera.state.value;
      if (this.on.peek() && (is === "off" || is === "trouble")) void this.stop();
    });
  }

  /** The laptop reads the scale through this phone from now on. */
  async start(): Promise<void> {
    this.trouble.value = "";
    try {
      const view = readScaleView(await (await this.api.exchange("GET", "/api/v1/scale")).json());
      this.before = view.settings.port === cameraPort ? automatic("") : view.settings;
    } catch {
      this.before = automatic("");
    }
    const refused = await this.set(automatic(cameraPort));
    this.trouble.value = refused;
    this.on.value = refused === "";
  }

  /** The laptop reads the scale as before. */
  async stop(): Promise<void> {
    if (!this.on.peek()) return;
    this.on.value = false;
    const refused = this.before ? await this.set(this.before) : "-";
    if (refused !== "") this.trouble.value = await this.set(automatic(""));
  }

  private async set(settings: ScaleSettings): Promise<string> {
    const no = await new ScaleSettingsClient(this.api).set(settings);
    return no === null ? "" : no.sentence || "-";
  }
}
