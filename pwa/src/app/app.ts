import { batch, computed, effect, signal } from "@preact/signals";
import { CoreClient, type Judge, type LocalCore } from "../core/client";
import type { Denomination } from "../core/types";
import { createPrefs } from "../device/prefs";
import { Hands, type HandsDevices } from "../hands/hands";
import { createLaptop, type LaptopDeps } from "../laptop/laptop";
import { lineLostWords } from "../laptop/line-words";
import { type Clock, systemClock } from "../live/age";
import { LiveClient } from "../live/socket";
import { ScaleTruth } from "../scale/scale-truth";
import { Announcer } from "../weigh/announcer";
import { Catalogue } from "../weigh/catalogue";
import { CoinDate } from "../weigh/coin-date";
import { DateEntry } from "../weigh/coin-date-entry";
import { LastDates } from "../weigh/coin-date-last";
import { Evidence, isEmpty } from "../weigh/evidence";
import { judgeLiftedAgain } from "../weigh/evidence-again";
import { HeldCoin } from "../weigh/finds-held";
import { Judging, type OnFrame } from "../weigh/judging";
import { Pan } from "../weigh/pan";
import { LiveReading } from "../weigh/reading";
import { Typed } from "../weigh/typed";
import type { FindsDoor } from "./finds-door";
import { asksOf, deafDevices, newId, wireHands } from "./hands-app";

export interface AppDeps extends LaptopDeps {
  localCore: LocalCore;
  onFrame: OnFrame;
  clock?: Clock;
  /** What hands-free weighing is heard by; nothing if left out. */
  devices?: HandsDevices;
}

/** Everything the screens read and act on, wired together. */
export function createApp(deps: AppDeps) {
  const clock = deps.clock ?? systemClock;
  const prefs = createPrefs(deps.shelf);
  const laptop = createLaptop(deps);
  const { session, api } = laptop;
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
  const evidence = new Evidence();
  const typed = new Typed(core, deps.shelf, () => {
    const { country, denomination } = prefs;
    if (!denomination.value) return null;
    return {
      country: country.value,
      denomination: denomination.value,
      year: date.askYear,
      mint: date.mint.value,
      ...found(),
    };
  });
  const catalogue = new Catalogue(core);
  const announcer = new Announcer();
  const scaleTruth = new ScaleTruth(api);
  /** The coin that could be kept as a find now. */
  const heldCoin = new HeldCoin();
  /** Finds and hunts; null until they are loaded, after the first screen. */
  const finds = signal<FindsDoor | null>(null);
  /** How far the laptop's journal has grown, as it last said. */
  const notice = signal("");
  /** Changes whenever the laptop has news of photos. */
  const photoNews = signal(0);
  /** What the laptop says of its own records; each empty if all is well. */
  const laptopRecords = signal({ sentence: "", copies: "" });

  const client = new LiveClient({
    open: laptop.openLine,
    token: () => session.token,
    clock,
    onWeight: (received) => {
      live.take(received);
      if (!typed.on.peek()) heldCoin.weight(received);
    },
    onNotice: (cursor, photos) => {
      notice.value = cursor;
      photoNews.value = photos;
    },
    onPan: (m) => pan.heard(m),
    onRecords: ({ sentence, copies }) => {
      laptopRecords.value = { sentence, copies };
    },
    onLine: (line) => {
      live.line.value = line;
    },
    onBye: (bye) => {
      // A slow hello gets the same goodbye as an ended token; only a request
      // that carries the token tells them apart, and ends the joining if so.
      if (bye.code === "not-joined") api.me().catch(() => {});
    },
  });

  const pan: Pan = new Pan({
    me: () => {
      const state = session.state.peek();
      return state.at === "joined" ? state.device.id : null;
    },
    say: (message) => client.say(message),
  });
  const hands = new Hands({
    ...(deps.devices ?? deafDevices()),
    shelf: deps.shelf,
    clock,
    pan,
    takePan: () => pan.tap(asksOf({ prefs, date, evidence })),
    newId: () => newId(deps.crypto),
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

  const dateEntry = new DateEntry(
    date,
    denomination,
    () => `${prefs.country.value}/${prefs.denomination.value}`,
    new LastDates(deps.shelf),
  );

  /** What was found out beside the weight, as a part of a question. */
  function found() {
    const followed = typed.on.value ? null : pan.followed.value;
    const given = followed ? (followed.evidence ?? {}) : evidence.given.value;
    return isEmpty(given) ? {} : { evidence: given };
  }

  /** Opens the date’s entry; a tap that doesn't count while another device holds the pan. */
  function enterDate(): boolean {
    if (!typed.on.peek() && pan.watching) {
      pan.tap(null);
      return false;
    }
    return dateEntry.begin();
  }

  /** Picks a denomination; a tap that doesn't count while another device holds the pan. */
  function pick(id: string): void {
    if (!typed.on.peek() && pan.watching) {
      pan.tap(null);
      return;
    }
    batch(() => {
      if (prefs.denomination.value !== id) date.clear();
      prefs.denomination.value = id;
    });
    if (typed.on.peek()) return;
    pan.tap(asksOf({ prefs, date, evidence }));
    if (hands.offered.peek()) beginHands();
  }

  /** Begins a sitting hands-free, at a tap; without a denomination that tap is still to come. */
  function beginHands(): void {
    typed.on.value = false;
    const d = denomination.peek();
    if (d) hands.start(d.name, live.received.peek()?.message ?? null);
    else hands.offered.value = true;
  }

  /** Takes the pan over from another device, with the question it asks. */
  function takeOver(): void {
    pan.take(asksOf({ prefs, date, evidence }));
  }

  /** The page is back in front, or the network is. */
  function wake(): void {
    if (live.line.value !== "open") laptop.whereabouts.again();
    client.wake();
    hands.visible();
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
      evidence.load(typed.coin, prefs.denomination.value ?? "");
      return;
    }
    const r = live.reading.value;
    if (r.is === "weight" && r.stale) return; // its verdict is withheld by the screen until a fresh one comes
    const load = r.is === "weight" ? r.load : null;
    batch(() => {
      if (r.is === "weight") evidence.load(load?.placement ?? null, prefs.denomination.value ?? "");
      if (r.is === "weight" && !pan.watching) date.load(load?.placement ?? null);
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
          ...found(),
        },
      });
    });
  });

  judgeLiftedAgain(core, evidence, () => (typed.on.value ? typed : judging));

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

  // What could be kept follows the glass.
  effect(() => {
    if (typed.on.value) heldCoin.typed(typed.current.value, typed.digits.peek(), typed.placement);
    else heldCoin.verdict(judging.current.value);
  });

  effect(() => {
    const shown = typed.on.value ? typed.rested.value : judging.current.value;
    if (!hands.on.value) announcer.verdict(shown); // a sitting has its own words
  });
  effect(() => {
    const r = live.reading.value;
    announcer.problem(r.is === "problem" ? r.problem : null);
  });
  effect(() => {
    const r = live.reading.value;
    if (!hands.on.value) announcer.phase(r.is === "weight" ? r.phase : "none");
  });
  effect(() => announcer.line(live.line.value, lineLostWords(session)));
  scaleTruth.follow(live);
  wireHands({ session, prefs, date, evidence, pan, hands, typed, live, judging, announcer });

  return {
    prefs,
    session,
    api,
    laptop,
    judge,
    core,
    live,
    judging,
    typed,
    date,
    dateEntry,
    enterDate,
    evidence,
    catalogue,
    announcer,
    scaleTruth,
    client,
    denominations,
    keys,
    denomination,
    pick,
    pan,
    hands,
    beginHands,
    takeOver,
    wake,
    shelf: deps.shelf,
    heldCoin,
    finds,
    notice,
    photoNews,
    laptopRecords,
  };
}

export type App = ReturnType<typeof createApp>;
