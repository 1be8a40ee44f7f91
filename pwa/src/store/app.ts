import { batch, computed, effect, signal } from "@preact/signals";
import { CoreClient, type Judge, type LocalCore } from "../core/client";
import type { Denomination } from "../core/types";
import { type Clock, systemClock } from "../live/age";
import { LiveClient, type SocketLike } from "../live/socket";
import { Api } from "../sync/api";
import { Announcer } from "./announcer";
import { Catalogue } from "./catalogue";
import { CoinDate } from "./coin-date";
import { Judging, type OnFrame } from "./judging";
import type { Shelf } from "./kept";
import { createPrefs } from "./prefs";
import { LiveReading } from "./reading";
import { Session } from "./session";
import { Typed } from "./typed";

export interface AppDeps {
  shelf: Shelf;
  fetch: typeof fetch;
  openSocket(): SocketLike;
  localCore: LocalCore;
  onFrame: OnFrame;
  clock?: Clock;
}

/** Everything the screens read and act on, wired together. */
export function createApp(deps: AppDeps) {
  const clock = deps.clock ?? systemClock;
  const prefs = createPrefs(deps.shelf);
  const session = new Session(deps.shelf);
  const api = new Api({
    fetch: deps.fetch,
    token: () => session.token,
    onNotJoined: (refusal) => session.ended(refusal.sentence),
  });
  const judge = signal<Judge>("waiting");
  const core = new CoreClient(
    deps.localCore,
    (method, json) => api.core(method, json),
    (j) => {
      judge.value = j;
    },
  );
  const live = new LiveReading(clock);
  const judging = new Judging(core, deps.onFrame, () => clock.now().steady);
  const date = new CoinDate();
  const typed = new Typed(core, deps.shelf, () => {
    const { country, denomination } = prefs;
    if (!denomination.value) return null;
    return {
      country: country.value,
      denomination: denomination.value,
      year: date.askYear,
      mint: date.mint.value,
    };
  });
  const catalogue = new Catalogue(core);
  const announcer = new Announcer();

  const client = new LiveClient({
    open: deps.openSocket,
    token: () => session.token,
    clock,
    onWeight: (received) => live.take(received),
    onLine: (line) => {
      live.line.value = line;
    },
    onBye: (bye) => {
      // A slow hello gets the same goodbye as an ended token; only a request
      // that carries the token tells them apart, and ends the joining if so.
      if (bye.code === "not-joined") api.me().catch(() => {});
    },
  });

  /** The keys of the chosen country that are still struck, in the book's order. */
  const denominations = computed<Denomination[]>(() => {
    const country = catalogue.countries.value?.find((c) => c.id === prefs.country.value);
    return country?.denominations ?? [];
  });
  const keys = computed(() => denominations.value.filter((d) => d.current));
  const denomination = computed(
    () => denominations.value.find((d) => d.id === prefs.denomination.value) ?? null,
  );

  function pick(id: string): void {
    batch(() => {
      if (prefs.denomination.value !== id) date.clear();
      prefs.denomination.value = id;
    });
  }

  // A joined device listens; one that has fallen out does not.
  effect(() => {
    if (session.state.value.at === "joined") client.start();
    else client.stop();
  });

  // Every new reading: whose date is it, and what does it mean.
  effect(() => {
    if (typed.on.value) {
      judging.clear();
      date.load(typed.coin);
      return;
    }
    const r = live.reading.value;
    if (r.is === "weight" && r.stale) return; // its verdict is withheld by the screen until a fresh one comes
    const load = r.is === "weight" ? r.load : null;
    batch(() => {
      if (r.is === "weight") date.load(load?.placement ?? null);
      if (!load || !prefs.denomination.value) {
        judging.clear();
        return;
      }
      judging.take({
        placement: load.placement,
        settled: r.is === "weight" && r.phase === "settled",
        question: {
          country: prefs.country.value,
          denomination: prefs.denomination.value,
          year: date.askYear,
          mint: date.mint.value,
          mean_g: load.mean,
          u_g: load.u,
          resolution_g: load.resolution,
        },
      });
    });
  });

  // What to inspect follows the verdict's hint, and stays with the last coin.
  effect(() => {
    const from = typed.on.value ? typed : judging;
    const shown = from.current.value ?? from.last.value;
    const mine = shown && shown.question.denomination === prefs.denomination.value ? shown : null;
    void judge.value; // a core that has come within reach may answer what failed before
    void catalogue.want({
      country: prefs.country.value,
      denomination: prefs.denomination.value,
      year: date.askYear,
      mint: date.mint.value,
      hint: mine?.settled ? mine.verdict.hint : "",
    });
  });

  // Who this device is may have changed on the laptop. A refusal ends the
  // joining by itself; without an answer, what is kept holds.
  effect(() => {
    if (live.line.value !== "open") return;
    api.me().then(
      (me) => session.refresh(me),
      () => {},
    );
  });

  effect(() => {
    void judge.value;
    void live.line.value;
    if (session.state.value.at === "joined") void catalogue.loadKeys();
  });

  effect(() => announcer.verdict(typed.on.value ? typed.rested.value : judging.current.value));
  effect(() => {
    const r = live.reading.value;
    announcer.problem(r.is === "problem" ? r.problem : null);
  });
  effect(() => announcer.line(live.line.value));

  return {
    prefs,
    session,
    api,
    judge,
    core,
    live,
    judging,
    typed,
    date,
    catalogue,
    announcer,
    client,
    denominations,
    keys,
    denomination,
    pick,
  };
}

export type App = ReturnType<typeof createApp>;
