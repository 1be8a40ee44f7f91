import { effect } from "@preact/signals";
import { render } from "preact";
import { WorkerCore, type WorkerLike } from "../core/worker-core";
import type { SocketLike } from "../live/socket";
import { createApp } from "../store/app";
import { browserShelf } from "../store/kept";
import { deviceKind, readInvitation } from "../sync/invitation";
import { text } from "../text";
import { createView, Provide } from "./context";
import { listenToKeys } from "./keyboard";
import { Root } from "./root";
import { whenPainted } from "./when-painted";
import "./style/index.css";

// A one-time secret leaves the address bar, and with it the history, before
// anything else happens.
const invitation = readInvitation(location.hash);
if (invitation) history.replaceState(null, "", location.pathname);

const app = createApp({
  shelf: browserShelf(),
  fetch: (input, init) => fetch(input, init),
  openSocket: () => {
    const scheme = location.protocol === "https:" ? "wss" : "ws";
    return new WebSocket(`${scheme}://${location.host}/api/v1/live`) as unknown as SocketLike;
  },
  localCore: new WorkerCore(
    () => new Worker(new URL("../core/core.worker.ts", import.meta.url), { type: "module" }) as WorkerLike,
  ),
  onFrame: (act) => {
    // A page in the background gets no frames, but what it announces still counts.
    if (document.hidden) setTimeout(act, 50);
    else requestAnimationFrame(act);
  },
});
const view = createView();

const root = document.documentElement;
root.lang = text.language;
effect(() => {
  root.dataset.theme = app.prefs.theme.value;
});
effect(() => {
  root.dataset.core = app.judge.value;
});

const readPlace = () => {
  view.place.value = location.hash.startsWith("#/") ? location.hash.slice(2) : "";
  if (view.place.value === "type") {
    // From the shortcut among the phone's apps; a place that is left by the way back, not by the address.
    history.replaceState(null, "", "#/weigh");
    view.place.value = "weigh";
    app.typed.on.value = true;
  }
};
readPlace();
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
  return app.session.join(app.api, it, text.deviceNames[kind]);
}

// A socket may have died while the phone was locked; the page may come back
// from the browser's memory, or the network may have.
const wake = () => {
  app.live.tick();
  if (document.hidden) return;
  app.client.wake();
  view.copy.look();
};
document.addEventListener("visibilitychange", wake);
addEventListener("pageshow", wake);
addEventListener("online", wake);
setInterval(() => app.live.tick(), 250);

listenToKeys(app, view);

const mount = document.getElementById("app");
if (!mount) throw new Error("the page has no place for the app");
render(
  <Provide value={{ app, view }}>
    <Root />
  </Provide>,
  mount,
);

if (invitation) void join(invitation);

whenPainted(() => {
  void app.core.load();
  if (import.meta.env.PROD) void view.copy.start(navigator.serviceWorker ?? null, isSecureContext);
});
