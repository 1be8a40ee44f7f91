import { batch, computed, effect, signal } from "@preact/signals";
import { CoreClient, type CoreHost, type LocalCore } from "../core/client";
import type { Denomination } from "../core/types";
import { createPrefs } from "../device/prefs";
import { type HandsDevices, HandsFree } from "../hands/hands";
import { createLaptop, type LaptopDeps } from "../laptop/laptop";
import { lineLostWords } from "../laptop/line-words";
import { type Clock, systemClock } from "../live/age";
import { LiveClient } from "../live/socket";
import { KeptScaleCheck } from "../scale/kept-check";
import { CameraScale } from "../senses/camera-scale";
import { type CameraDevices, noCamera } from "../senses/camera-scale-devices";
import { Announcer } from "../weigh/announcer";
import { Catalogue } from "../weigh/catalogue";
import { CoinDate } from "../weigh/coin-date";
import { DateEntry } from "../weigh/coin-date-entry";
import { LastDates } from "../weigh/coin-date-last";
import { Evidence, isEmpty } from "../weigh/evidence";
import { judgeLiftedAgain } from "../weigh/evidence-again";
import { KeepList } from "../weigh/keep-list";
import { KeepableCoins } from "../weigh/keepable-coin";
import { LiveVerdict, type OnFrame } from "../weigh/live-verdict";
import { ManualWeight } from "../weigh/manual-weight";
import { PanControl } from "../weigh/pan-control";
import { LiveReading } from "../weigh/reading";
import { CameraShare } from "./camera-share";
import { asksOf, deafDevices, newId, wireHands } from "./hands-app";
import type { App } from "./interface";
import { chosenTag, speakAsChosen } from "./language";
import type { RecordsController } from "./records";

export interface AppDeps extends Omit<LaptopDeps, "language"> {
  localCore: LocalCore;
  onFrame: OnFrame;
  /** The languages that the browser is set to, as tags; English if left out. */
  languages?: readonly string[];
  clock?: Clock;
  /** What hands-free weighing is heard by; nothing if left out. */
  devices?: HandsDevices;
  /** What a display is read by; no camera if left out. */
  camera?: CameraDevices;
}

/** Everything the screens read and act on, wired together. */
export function createApp(deps: AppDeps): App {
  const clock = deps.clock ?? systemClock;
  const prefs = createPrefs(deps.storage);
  const tag = chosenTag(prefs, deps.languages ?? []);
  const laptop = createLaptop({ ...deps, language: () => tag.peek() });
  const { session, api } = laptop;
  const coreHost = signal<CoreHost>("waiting");
  const core = new CoreClient(
    deps.localCore,
    (method, json) => api.core(method, json),
    (j) => {
      coreHost.value = j;
    },
    tag.peek(),
  );
  const live = new LiveReading(clock);
  const liveVerdict = new LiveVerdict(core, deps.onFrame, () => clock.now().steady);
  const date = new CoinDate(deps.storage);
  const evidence = new Evidence();
  const manualWeight = new ManualWeight(core, deps.storage, () => {
    const { country, denomination } = prefs;
    if (!denomination.value) return null;
    return {
      country: country.value,
      denomination: denomination.value,
      year: date.askYear,
      mint: date.mint.value,
      ...found(),
      ...hunter(),
    };
  });
  const camera = new CameraScale(deps.camera ?? noCamera);
  const catalogue = new Catalogue(core);
  const keepList = new KeepList(core, prefs.keep, catalogue.countries);
  const announcer = new Announcer();
  const keptCheck = new KeptScaleCheck(api);
  /** The coin that could be kept as a find now. */
  const keepable = new KeepableCoins();
  /** Finds and hunts; null until they are loaded, after the first screen. */
  const records = signal<RecordsController | null>(null);
  /** How far the laptop's journal has grown, as it last said. */
  const notice = signal("");
  /** Changes whenever the laptop has news of photos. */
  const photoNews = signal(0);
  /** What the laptop says of its own records; each empty if all is well. */
  const laptopRecords = signal({ sentence: "", copies: "" });

  const client = new LiveClient({
    open: laptop.openConnection,
    token: () => session.token,
    clock,
    onWeight: (received) => {
      live.take(received);
      if (!manualWeight.on.peek()) keepable.weight(received);
    },
    onNotice: (cursor, photos) => {
      notice.value = cursor;
      photoNews.value = photos;
    },
    onPan: (m) => panControl.heard(m),
    onRecords: ({ sentence, copies }) => {
      laptopRecords.value = { sentence, copies };
    },
    onConnection: (line) => {
      live.connection.value = line;
    },
    onBye: (bye) => {
      // A slow hello gets the same goodbye as an ended token; only a request
      // that carries the token tells them apart, and ends the joining if so.
      if (bye.code === "not-joined") api.me().catch(() => {});
    },
  });

  const cameraShare = new CameraShare(api, camera, client);

  const panControl: PanControl = new PanControl({
    me: () => {
      const state = session.state.peek();
      return state.at === "joined" ? state.device.id : null;
    },
    say: (message) => client.say(message),
  });
  const handsFree = new HandsFree({
    ...(deps.devices ?? deafDevices()),
    storage: deps.storage,
    clock,
    panControl,
    takePan: () => panControl.tap(asksOf({ prefs, date, evidence })),
    newId: () => newId(deps.crypto),
  });

  /** The picked country's denominations, and the keys: those of the chosen countries that are still struck, in the book's order. */
  const denominations = computed<Denomination[]>(() => {
    const country = catalogue.countries.value?.find((c) => c.id === prefs.country.value);
    return country?.denominations ?? [];
  });
  const denominationButtons = computed(() =>
    (catalogue.countries.value ?? [])
      .filter((c) => prefs.countries.value.includes(c.id))
      .flatMap((c) => c.denominations.filter((d) => d.current)),
  );
  const denomination = computed(
    () => denominations.value.find((d) => d.id === prefs.denomination.value) ?? null,
  );

  const dateEntry = new DateEntry(
    date,
    denomination,
    () => `${prefs.country.value}/${prefs.denomination.value}`,
    new LastDates(deps.storage),
  );

  /** Who asks, and of what coins: what is kept, and the source that the going hunt searches. */
  function hunter() {
    const source = records.value?.going.running.value?.judge_source;
    return { ...keepList.asked, ...(source ? { source } : {}) };
  }

  /** What was found out beside the weight, as a part of a question. */
  function found() {
    const followed = manualWeight.on.value ? null : panControl.followed.value;
    const given = followed ? (followed.evidence ?? {}) : evidence.given.value;
    return isEmpty(given) ? {} : { evidence: given };
  }

  /** Opens the date’s entry; a tap that doesn't count while another device holds the pan. */
  function enterDate(): boolean {
    if (!manualWeight.on.peek() && panControl.watching) {
      panControl.tap(null);
      return false;
    }
    return dateEntry.begin();
  }

  /** Picks a denomination; a tap that doesn't count while another device holds the pan. */
  function pick(id: string, country = prefs.country.peek()): void {
    if (!manualWeight.on.peek() && panControl.watching) {
      panControl.tap(null);
      return;
    }
    batch(() => {
      if (prefs.denomination.value !== id || prefs.country.value !== country) date.clear();
      prefs.country.value = country;
      prefs.denomination.value = id;
    });
    if (manualWeight.on.peek()) return;
    panControl.tap(asksOf({ prefs, date, evidence }));
    if (handsFree.offered.peek()) beginHands();
  }

  /** Begins a sitting hands-free, at a tap; without a denomination that tap is still to come. */
  function beginHands(): void {
    manualWeight.on.value = false;
    const d = denomination.peek();
    if (d) handsFree.start(d.name, live.received.peek()?.message ?? null);
    else handsFree.offered.value = true;
  }

  /** A person has compared what a camera read with the display: from now on it counts. */
  function confirmRead(): void {
    const r = live.reading.peek();
    if (r.is === "weight" && r.unconfirmed) client.say({ type: "confirm", ...r.unconfirmed });
  }

  /** Takes the pan over from another device, with the question it asks. */
  function takeOver(): void {
    panControl.take(asksOf({ prefs, date, evidence }));
  }

  /** The page is back in front, or the network is. */
  function wake(): void {
    if (live.connection.value !== "open") laptop.locator.restart();
    client.wake();
    handsFree.visible();
  }

  // A joined device listens; one that has fallen out does not.
  effect(() => {
    if (session.state.value.at === "joined") client.start();
    else client.stop();
  });

  // Every new reading: whose date is it, and what does it mean.
  effect(() => {
    if (manualWeight.on.value) {
      liveVerdict.clear();
      date.load(manualWeight.coin);
      evidence.load(manualWeight.coin, prefs.denomination.value ?? "");
      return;
    }
    const r = live.reading.value;
    if (r.is === "weight" && r.stale) return; // its verdict is withheld by the screen until a fresh one comes
    const load = r.is === "weight" ? r.load : null;
    batch(() => {
      if (r.is === "weight") evidence.load(load?.placement ?? null, prefs.denomination.value ?? "");
      if (r.is === "weight" && !panControl.watching) date.load(load?.placement ?? null);
      if (!load || !prefs.denomination.value) {
        liveVerdict.clear();
        return;
      }
      liveVerdict.take({
        placement: load.placement,
        message: live.received.peek()?.message.seq ?? 0,
        settled: r.is === "weight" && r.phase === "settled",
        question: {
          country: prefs.country.value,
          denomination: prefs.denomination.value,
          year: date.askYear,
          mint: date.mint.value,
          mean_g: load.mean,
          u_g: load.u,
          ...(load.half && { half: load.half.chance, u_whole_g: load.half.uWhole }),
          resolution_g: load.resolution,
          ...found(),
          ...hunter(),
        },
      });
    });
  });

  judgeLiftedAgain(core, evidence, () => (manualWeight.on.value ? manualWeight : liveVerdict), hunter);

  // What to inspect follows the verdict, and stays with the last coin.
  effect(() => {
    const from = manualWeight.on.value ? manualWeight : liveVerdict;
    const shown = from.current.value ?? from.last.value;
    const mine =
      shown?.settled &&
      shown.question.country === prefs.country.value &&
      shown.question.denomination === prefs.denomination.value &&
      shown.question.year === date.askYear &&
      shown.question.mint === date.mint.value
        ? shown.verdict
        : null;
    void coreHost.value; // a core that has come within reach may answer what failed before
    void catalogue.want({
      country: prefs.country.value,
      denomination: prefs.denomination.value,
      year: date.askYear,
      mint: date.mint.value,
      ...(mine?.inspect ?? { hint: mine?.hint ?? "" }),
    });
  });

  // Who this device is may have changed on the laptop. A refusal ends the
  // joining by itself; without an answer, what is kept holds.
  effect(() => {
    if (live.connection.value !== "open") return;
    api.me().then(
      (me) => session.refresh(me),
      () => {},
    );
  });

  effect(() => {
    void coreHost.value;
    void live.connection.value;
    void core.language.value;
    if (session.state.value.at === "joined") void catalogue.loadKeys();
  });

  // What the camera reads is taken where weights are typed, or from the laptop that it goes to.
  effect(() => {
    if (camera.state.value.is === "reading") manualWeight.on.value = !cameraShare.on.value;
  });

  // What could be kept follows the glass.
  effect(() => {
    if (manualWeight.on.value)
      keepable.typed(
        manualWeight.current.value,
        manualWeight.digits.peek(),
        manualWeight.placement,
        manualWeight.byCamera.peek(),
      );
    else keepable.verdict(liveVerdict.current.value ?? liveVerdict.last.value); // a lifted coin's may change by an answer
  });

  effect(() => {
    const shown = manualWeight.on.value ? manualWeight.rested.value : liveVerdict.current.value;
    if (!handsFree.on.value) announcer.verdict(shown); // a sitting has its own words
  });
  effect(() => {
    const r = live.reading.value;
    announcer.problem(r.is === "problem" ? r.problem : null);
  });
  effect(() => {
    const r = live.reading.value;
    if (!handsFree.on.value) announcer.phase(r.is === "weight" ? r.phase : "none");
  });
  effect(() => announcer.connection(live.connection.value, lineLostWords(session)));
  keptCheck.follow(live);
  wireHands({
    session,
    prefs,
    date,
    evidence,
    panControl,
    handsFree,
    manualWeight,
    live,
    liveVerdict,
    announcer,
  });

  // What the core and the laptop said before is said again.
  const { spoken, ready } = speakAsChosen(tag, core, () => {
    client.renew();
    void liveVerdict.sayAgain();
    void manualWeight.sayAgain();
  });

  return {
    language: spoken,
    speaking: ready,
    prefs,
    session,
    api,
    laptop,
    coreHost,
    core,
    live,
    camera,
    cameraShare,
    confirmRead,
    liveVerdict,
    manualWeight,
    date,
    dateEntry,
    enterDate,
    evidence,
    catalogue,
    keepList,
    announcer,
    keptCheck,
    client,
    denominations,
    denominationButtons,
    denomination,
    pick,
    panControl,
    handsFree,
    beginHands,
    takeOver,
    wake,
    storage: deps.storage,
    keepable,
    records,
    notice,
    photoNews,
    laptopRecords,
  };
}
