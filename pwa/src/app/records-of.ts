import { computed } from "@preact/signals";
import { recordsBrowser } from "../records/browser";
import type { App } from "./interface";
import { RecordsController } from "./records";

/** Finds and hunts of the app; it waits for its start. */
export function recordsOf(app: App): RecordsController {
  return new RecordsController({
    core: app.core,
    exchange: (method, path, body, headers) => app.api.exchange(method, path, body, headers),
    storage: app.storage,
    browser: recordsBrowser(),
    name: computed(() => {
      const state = app.session.state.value;
      return state.at === "joined" ? state.device.name : null;
    }),
    lineOpen: computed(() => app.live.line.value === "open"),
    notice: app.notice,
    photoNews: app.photoNews,
    check: app.scaleTruth.kept,
    coins: app.heldCoin,
    weighed: app.judging.last,
    typed: app.typed.last,
    // Only the device that holds the pan counts, and hands-free it counts by itself.
    counts: () => !app.hands.on.peek() && !app.pan.watching,
    hands: app.hands,
  });
}
