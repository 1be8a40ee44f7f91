import { batch, computed, type Signal, signal } from "@preact/signals";
import type { Awake } from "../device/awake";
import { type Camera, type CameraTrouble, cameraTroubleOf, type Part } from "./camera";
import type { CameraDevices } from "./camera-scale-devices";
import { Eye, type Looked, type LookRefusal } from "./eye";

/** A corner of the display's window, as shares of the picture's width and height. */
export interface Corner {
  x: number;
  y: number;
}

/** Clockwise from the top left, as the digits stand upright. */
export type Corners = [Corner, Corner, Corner, Corner];

export type CameraState =
  | { is: "off" }
  | { is: "starting" }
  | { is: "framing" } // the picture is shown; the corners are still to be put right
  | { is: "teaching" } // weights are typed
  | { is: "reading" }
  | { is: "trouble"; why: CameraTrouble };

/** What is said below a battery's charge of this share that isn't being filled. */
const lowBattery = 0.2;
/** Between two pictures: a display changes five times a second or so. */
const pauseMs = 60;
/** A reason that lasts this long is said; shorter ones flicker. */
const saidAfterMs = 800;
const clampShare = (v: number) => Math.min(1, Math.max(0, v));

/** What of the picture is looked at: the window, and as much around it as a phone may move. */
function partAround(corners: Corner[], { width, height }: { width: number; height: number }): Part {
  const [xs, ys] = [corners.map((c) => c.x), corners.map((c) => c.y)];
  const around = 0.25 * (Math.max(...ys) - Math.min(...ys));
  const x = Math.max(0, Math.floor(Math.min(...xs) - around));
  const y = Math.max(0, Math.floor(Math.min(...ys) - around));
  const right = Math.min(width, Math.ceil(Math.max(...xs) + around));
  const bottom = Math.min(height, Math.ceil(Math.max(...ys) + around));
  return { x, y, width: Math.max(1, right - x), height: Math.max(1, bottom - y) };
}

const middle: Corners = [
  { x: 0.15, y: 0.35 },
  { x: 0.85, y: 0.35 },
  { x: 0.85, y: 0.65 },
  { x: 0.15, y: 0.65 },
];

/**
 * A scale without a cable, read by this phone's camera. The picture goes to a worker of this
 * phone and nowhere else, and is kept nowhere. What is read counts once a person has tapped it.
 */
export class CameraScale {
  readonly state: Signal<CameraState> = signal({ is: "off" });
  readonly corners: Signal<Corners> = signal(middle);
  /** The weights typed so far. */
  readonly typed: Signal<string[]> = signal([]);
  /** What keeps the teaching from going on, or the display from being read, once it is to be said; empty if nothing. */
  readonly why: Signal<LookRefusal | ""> = signal("");
  /** What stands on the display, as last read for sure; empty while that isn't known. */
  readonly text = signal("");
  /** The number that was last taken by a tap; empty once the display has shown another. */
  readonly taken = signal("");
  /** The weight that waits for a tap; empty while there is none. */
  readonly offered = computed(() => {
    const read = this.text.value;
    return Number(read) > 0 && read !== this.taken.value ? read : "";
  });
  /** The person types beside the camera for now. */
  readonly typing = signal(false);
  readonly view: Signal<HTMLVideoElement | null> = signal(null);
  readonly batteryLow = signal(false);
  readonly awake: Awake;
  private deps: CameraDevices;
  private now: () => number;
  private wait: (ms: number) => Promise<void>;
  private camera: Camera | null = null;
  private eye: Eye | null = null;
  private turn = 0;
  /** Which framing it is; what belongs to an earlier one is dropped. */
  private framing = 0;
  private whySince = 0;
  private lastWhy: LookRefusal | "" = "";

  constructor(deps: CameraDevices) {
    this.deps = deps;
    this.awake = deps.awake;
    this.now = deps.now ?? (() => performance.now());
    this.wait = deps.wait ?? ((ms) => new Promise((resolve) => setTimeout(resolve, ms)));
  }

  /** Switches the camera on; the display is then to be framed. */
  async start(): Promise<void> {
    this.stop();
    const mine = ++this.turn;
    this.state.value = { is: "starting" };
    try {
      const eye = new Eye(this.deps.worker, () => mine === this.turn && this.trouble("failed"));
      this.eye = eye;
      const lost = () => mine === this.turn && this.trouble("held");
      const [camera] = await Promise.all([this.deps.open(lost), eye.ready()]);
      if (mine !== this.turn) {
        camera.stop();
        return;
      }
      this.camera = camera;
      batch(() => {
        this.view.value = camera.view;
        this.state.value = { is: "framing" };
      });
      void this.awake.keep();
      void this.watchBattery(mine);
    } catch (cause) {
      if (mine === this.turn) this.trouble(cameraTroubleOf(cause));
    }
  }

  /** Moves a corner by shares of the picture. */
  move(corner: number, to: Corner): void {
    if (this.state.peek().is !== "framing") return;
    const next = this.corners.peek().map((c) => ({ ...c })) as Corners;
    next[corner] = { x: clampShare(to.x), y: clampShare(to.y) };
    this.corners.value = next;
  }

  /** The corners are right: now weights are typed. */
  async framed(): Promise<void> {
    const { camera, eye } = this;
    if (!camera || !eye) return;
    batch(() => {
      this.forget();
      this.state.value = { is: "teaching" };
    });
    const corners = this.corners.peek().map(({ x, y }) => ({ x: x * camera.width, y: y * camera.height }));
    const part = partAround(corners, camera);
    await eye.frame(corners.flatMap(({ x, y }) => [x - part.x, y - part.y]));
    const mine = ++this.framing;
    void this.watch(mine, eye, camera, part).catch(() => {
      if (mine === this.framing) this.trouble("failed");
    });
  }

  /** The frame is to be drawn again, since the phone was moved or the display wasn't in it. */
  reframe(): void {
    if (!this.camera) return;
    this.framing++;
    batch(() => {
      this.forget();
      this.state.value = { is: "framing" };
    });
  }

  /** The display shows this text now. */
  async shown(text: string): Promise<void> {
    await this.teach((eye) => eye.shown(text), text);
  }

  /** All segments of so many digits are lit now, as after switching on. */
  async allLit(digits: number): Promise<void> {
    await this.teach((eye) => eye.allLit(digits), "8".repeat(digits));
  }

  /** Takes what stands on the display for the coin on the pan; empty if that isn't sure. */
  take(): string {
    const read = this.offered.peek();
    if (read !== "") this.taken.value = read;
    return read;
  }

  /** Switches it off. */
  stop(): void {
    this.turn++;
    this.framing++;
    this.camera?.stop();
    this.camera = null;
    this.eye?.end();
    this.eye = null;
    batch(() => {
      this.forget();
      this.view.value = null;
      if (this.state.peek().is !== "trouble") this.state.value = { is: "off" };
    });
    void this.awake.letGo();
  }

  private forget(): void {
    this.typed.value = [];
    this.why.value = "";
    this.text.value = "";
    this.taken.value = "";
    this.typing.value = false;
    this.lastWhy = "";
  }

  private trouble(why: CameraTrouble): void {
    this.state.value = { is: "trouble", why };
    this.stop();
  }

  private async teach(ask: (eye: Eye) => Promise<Looked>, text: string): Promise<void> {
    const mine = this.framing;
    if (!this.eye || this.state.peek().is !== "teaching") return;
    this.why.value = "";
    const l = await ask(this.eye);
    if (mine !== this.framing) return;
    batch(() => {
      const refused = l.why === "busy" || l.why === "bad-text";
      if (!refused) this.typed.value = [...this.typed.value, text];
      // One weight is never enough; that another is wanted is said anyway.
      const wanted = l.why === "too-alike" && this.typed.value.length < 2;
      this.why.value = l.taught || wanted ? "" : l.why;
      if (l.taught) this.state.value = { is: "reading" };
    });
  }

  /** Shows the eye one picture after another, the next once the last is answered. */
  private async watch(mine: number, eye: Eye, camera: Camera, part: Part): Promise<void> {
    while (mine === this.framing) {
      const picture = camera.grab(part);
      if (picture) {
        const l = await eye.look(picture, this.now());
        if (mine !== this.framing) return;
        if (this.state.peek().is === "reading") this.read(l);
      }
      await this.wait(pauseMs);
    }
  }

  private read(l: Looked): void {
    const now = this.now();
    if (l.why !== this.lastWhy) {
      this.lastWhy = l.why;
      this.whySince = now;
    }
    batch(() => {
      this.text.value = l.why === "" ? l.text : "";
      if (l.why === "" && l.text !== this.taken.peek()) this.taken.value = "";
      const said = l.why !== "" && now - this.whySince >= saidAfterMs;
      if (said || l.why === "") this.why.value = l.why;
    });
  }

  private async watchBattery(mine: number): Promise<void> {
    while (mine === this.turn) {
      const battery = await this.deps.battery?.().catch(() => null);
      if (!battery) return;
      this.batteryLow.value = !battery.charging && battery.level < lowBattery;
      await this.wait(60_000);
    }
  }
}
