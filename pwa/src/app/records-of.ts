import { computed } from "@preact/signals";
import { recordsBrowser } from "../records/browser";
import type { App } from "./interface";
import { RecordsController } from "./records";

/** Finds and hunts of the app; it waits for its start. */
export function recordsOf(app: App): RecordsController {
  return new RecordsController({
    core: app.core,
    exchange: (method, path, body, headers) => app.api.exchange(method, path, body, headers),
    ask: (...request) => app.api.ask(...request),
    storage: app.storage,
    browser: recordsBrowser(),
    name: computed(() => {
      const state = app.session.state.value;
      return state.at === "joined" ? state.device.name : null;
    }),
    connected: computed(() => app.live.connection.value === "open"),
    notice: app.notice,
    photoNews: app.photoNews,
    check: app.keptCheck.kept,
    coins: app.keepable,
    weighed: app.liveVerdict.last,
    typed: app.manualWeight.last,
    // Only the device that holds the pan counts, and hands-free it counts by itself.
    counts: () => !app.handsFree.on.peek() && !app.panControl.watching,
    handsFree: app.handsFree,
  });
}
