import { effect } from "@preact/signals";
import { render } from "preact";
import { createApp } from "./app/app";
import { WorkerCore, type WorkerLike } from "./core/worker-core";
import { browserStorage } from "./device/local-storage";
import { browserDevices } from "./hands/hands-browser";
import { deviceKind, readInvitation } from "./laptop/invitation";
import type { SocketLike } from "./live/socket";
import { Root } from "./root";
import { browserCameraDevices } from "./senses/camera-scale-devices";
import { text } from "./text";
import { createView, Provide } from "./view/context";
import { listenToKeys } from "./view/keyboard";
import { whenPainted } from "./view/when-painted";
import { keepFiguresWhole } from "./view/whole-figures";
import "./view/style/index.css";

// A one-time secret leaves the address bar, and with it the history, before
// anything else happens.
const address = location.hash;
const invitation = readInvitation(address);
if (invitation) history.replaceState(null, "", location.pathname);

const view = createView();
const app = createApp({
  storage: browserStorage(),
  fetch: (input, init) => view.copy.pass(() => fetch(input, init)),
  origin: location.origin,
  crypto,
  openSocket: (base, language) => {
    const origin = base || location.origin;
    // A browser lets no header of ours go with a socket.
    const query = new URLSearchParams({ language });
    return new WebSocket(`ws${origin.slice("http".length)}/api/v1/live?${query}`) as unknown as SocketLike;
  },
  languages: navigator.languages,
  devices: browserDevices(),
  camera: browserCameraDevices(),
  localCore: new WorkerCore(
    () => new Worker(new URL("./core/core.worker.ts", import.meta.url), { type: "module" }) as WorkerLike,
    () => ({ country: app.prefs.country.value, language: app.language.tag.value }),
  ),
  onFrame: (act) => {
    // A page in the background gets no frames, but what it announces still counts.
    if (document.hidden) setTimeout(act, 50);
    else requestAnimationFrame(act);
  },
});

const root = document.documentElement;
effect(() => {
  root.lang = text.language;
});
effect(() => {
  root.dataset.theme = app.prefs.theme.value;
});
effect(() => {
  root.dataset.hand = app.prefs.handedness.value;
});
effect(() => {
  root.dataset.core = app.coreHost.value;
});

const readPlace = () => {
  view.place.value = location.hash.startsWith("#/") ? location.hash.slice(2) : "";
  if (view.place.value === "hands") {
    history.replaceState(null, "", "#/weigh");
    view.place.value = "weigh";
    app.manualWeight.on.value = false;
    app.handsFree.offered.value = !app.handsFree.on.value;
  }
  if (view.place.value === "shared") {
    // Shared photos are told of on whatever screen is open; a find's page is where they go.
    history.replaceState(null, "", "#/finds");
    view.place.value = "finds";
    void view.shared.look();
  }
  if (view.place.value === "type") {
    // From the shortcut among the phone's apps; a place that is left by the way back, not by the address.
    history.replaceState(null, "", "#/weigh");
    view.place.value = "weigh";
    app.manualWeight.on.value = true;
  }
};
readPlace();
void view.shared.look();
void view.shared.forget(); // of an earlier visit
addEventListener("hashchange", () => {
  const again = readInvitation(location.hash);
  if (again) {
    history.replaceState(null, "", location.pathname);
    void join(again);
  }
  readPlace();
});

function join(it: NonNullable<typeof invitation>) {
  const kind = deviceKind(navigator.userAgent, navigator.maxTouchPoints);
  return app.laptop.join(it, text.deviceNames[kind]);
}

/**
 * A first joining is best made under the laptop's .local name, since the phone
 * keeps its records by address and that one stays.
 */
async function joinFirst(it: NonNullable<typeof invitation>) {
  if (app.session.state.value.at !== "joined") {
    app.session.state.value = { at: "joining" };
    const name = await app.laptop.locator.localOrigin(it.key);
    if (name) {
      location.replace(`${name}/${address}`);
      return;
    }
  }
  await join(it);
}

// A socket may have died while the phone was locked; the page may come back
// from the browser's memory, or the network may have.
const wake = () => {
  app.live.tick();
  if (document.hidden) {
    app.records.value?.leave();
    return;
  }
  app.wake();
  app.records.value?.wake();
  view.copy.look();
  void view.shared.look();
};
document.addEventListener("visibilitychange", wake);
addEventListener("pageshow", wake);
addEventListener("pagehide", () => app.client.rest());
addEventListener("online", wake);
setInterval(() => app.live.tick(), 250);

listenToKeys(app, view);

// Where the app comes from the phone's own copy, so does the core, and the first
// verdict waits for it: other threads compile it while this one draws. A first
// visit has the network to share, and draws first.
const copied = Boolean(navigator.serviceWorker?.controller);
if (copied) void app.core.load();

/** Texts in another language than English are a second file; a slow line must not keep the page white. */
const longestForTextsMs = 3_000;

keepFiguresWhole();
// A page that is drawn in English first and turned then would be read twice.
await Promise.race([app.speaking, new Promise((resolve) => setTimeout(resolve, longestForTextsMs))]);
const mount = document.getElementById("app");
if (!mount) throw new Error("the page has no place for the app");
render(
  <Provide value={{ app, view }}>
    <Root />
  </Provide>,
  mount,
);

if (invitation) void joinFirst(invitation);

// Finds and hunts need the core, and so does the verdict on the first coin: the
// notebook's code is read when the core is up. What is only here is told of in
// any case, after a while without it.
const longestForCoreMs = 8_000;
const keepCopy = () => {
  if (import.meta.env.PROD) void view.copy.start(navigator.serviceWorker ?? null, isSecureContext);
};
const openNotebook = () => {
  void import("./app/records-of").then(({ recordsOf }) => {
    const records = recordsOf(app);
    app.records.value = records;
    return records.start();
  });
  if (copied) keepCopy(); // there may be a newer version, which is in no hurry
};

whenPainted(() => {
  if (!copied) {
    void app.core.load();
    keepCopy();
  }
  const aWhile = new Promise<void>((resolve) => setTimeout(resolve, longestForCoreMs));
  void Promise.race([app.core.settled(), aWhile]).then(() => whenPainted(openNotebook));
});
