import { batch, type Signal, signal } from "@preact/signals";
import { number } from "../core/json";
import { type Camera, type CameraTrouble, cameraTroubleOf, type Picture as Frame } from "../senses/camera";
import type { Pictures, Source } from "../senses/pictures";

/** How many pictures a burst takes, and how far apart. */
export const burstOf = 8;
const burstEveryMs = 150;
/** How often sharpness is looked at, and how much of its course is drawn. */
const lookEveryMs = 250;
export const courseOf = 60;
/** The middle of the picture tells its sharpness; the side of that square, in pixels. */
const part = 384;

export type Live = { is: "off" } | { is: "starting" } | { is: "on" } | { is: "trouble"; why: CameraTrouble };

/** Takes a picture; null where none could be taken. */
export type Shot = () => Promise<ImageBitmap | null>;

interface Deps {
  pictures: Pick<Pictures, "ask" | "forget">;
  open: (lost: () => void, device: string) => Promise<Camera>;
  there: () => Promise<{ id: string; name: string }[]>;
  /** The newest picture whole, as it stays. */
  still: (camera: Camera) => Promise<ImageBitmap>;
  wait?: (ms: number) => Promise<void>;
}

/** A camera that is looked through: which one, how sharp it is, and the picture that is taken. */
export class LiveCamera {
  readonly state: Signal<Live> = signal({ is: "off" });
  readonly camera: Signal<Camera | null> = signal(null);
  readonly cameras: Signal<{ id: string; name: string }[]> = signal([]);
  readonly picked = signal("");
  /** How sharp the middle has been, the newest last; the program's own measure. */
  readonly course: Signal<number[]> = signal([]);
  /** How many pictures of a burst are taken; null while there is none. */
  readonly bursting: Signal<number | null> = signal(null);
  private deps: Deps;
  private turn = 0;

  constructor(deps: Deps) {
    this.deps = deps;
  }

  async start(device = this.picked.peek()): Promise<void> {
    this.stop();
    const mine = ++this.turn;
    this.state.value = { is: "starting" };
    try {
      const camera = await this.deps.open(() => {
        if (mine === this.turn) this.trouble("held");
      }, device);
      if (mine !== this.turn) {
        camera.stop();
        return;
      }
      batch(() => {
        this.camera.value = camera;
        this.picked.value = device;
        this.state.value = { is: "on" };
      });
      const cameras = await this.deps.there();
      if (mine !== this.turn) return;
      this.cameras.value = cameras;
      void this.watch(mine, camera);
    } catch (cause) {
      if (mine === this.turn) this.trouble(cameraTroubleOf(cause));
    }
  }

  stop(): void {
    this.turn++;
    this.camera.peek()?.stop();
    batch(() => {
      this.camera.value = null;
      this.course.value = [];
      this.bursting.value = null;
      if (this.state.peek().is !== "trouble") this.state.value = { is: "off" };
    });
  }

  /** The picture of now; null where there is none. */
  async freeze(): Promise<ImageBitmap | null> {
    const camera = this.camera.peek();
    return camera && this.deps.still(camera).catch(() => null);
  }

  /** The sharpest of several pictures, taken one after the other; null where there is none. */
  async burst(): Promise<ImageBitmap | null> {
    const mine = this.turn;
    let best: ImageBitmap | null = null;
    let most = Number.NEGATIVE_INFINITY;
    for (let n = 0; n < burstOf; n++) {
      const camera = this.camera.peek();
      if (!camera || mine !== this.turn) break;
      this.bursting.value = n;
      const [frame, still] = [this.middle(camera), await this.deps.still(camera).catch(() => null)];
      const sharp = frame ? await this.sharpness(frame) : null;
      if (still && (sharp ?? 0) > most) {
        best?.close();
        [best, most] = [still, sharp ?? 0];
      } else still?.close();
      await this.wait(burstEveryMs);
    }
    this.bursting.value = null;
    return best;
  }

  private trouble(why: CameraTrouble): void {
    this.state.value = { is: "trouble", why };
    this.stop();
  }

  private wait(ms: number): Promise<void> {
    return this.deps.wait?.(ms) ?? new Promise((resolve) => setTimeout(resolve, ms));
  }

  private middle(camera: Camera): Frame | null {
    const [w, h] = [Math.min(part, camera.width), Math.min(part, camera.height)];
    const [x, y] = [Math.floor((camera.width - w) / 2), Math.floor((camera.height - h) / 2)];
    return camera.grab({ x, y, width: w, height: h });
  }

  /** Looks on while the camera is on; a burst looks for itself. */
  private async watch(mine: number, camera: Camera): Promise<void> {
    while (mine === this.turn) {
      const frame = this.bursting.peek() === null ? this.middle(camera) : null;
      const sharp = frame && (await this.sharpness(frame));
      if (mine !== this.turn) return;
      if (sharp !== null) this.course.value = [...this.course.peek(), sharp].slice(-courseOf);
      await this.wait(lookEveryMs);
    }
  }

  private async sharpness(frame: Frame): Promise<number | null> {
    const source: Source = { pixels: async () => frame };
    try {
      const answer = await this.deps.pictures.ask("sharpness", [source], ([picture]) => ({ picture }));
      return number(answer.sharpness);
    } catch {
      return null; // without it the camera serves all the same
    } finally {
      this.deps.pictures.forget(source);
    }
  }
}
