import { batch, effect } from "@preact/signals";
import { nobodyAnswers } from "../core/client";
import { Awake } from "../device/awake";
import { Speaker } from "../device/speech";
import { Tones } from "../device/tones";
import { forEar } from "../hands/for-ear";
import type { HandsDevices } from "../hands/hands";
import { lineLostWords } from "../laptop/line-words";
import { ageOf } from "../live/age";
import type { Asks } from "../live/wire";
import { text } from "../text";
import { locale } from "../text/writing";
import { isEmpty } from "../weigh/evidence";
import { cameraKind } from "../weigh/keepable-coin";
import type { PanNews } from "../weigh/pan-control";
import type { App } from "./interface";

/** A device that can't be heard, for where there is none. */
export function deafDevices(): HandsDevices {
  return {
    speaker: new Speaker({
      synth: null,
      utterance: () => {
        throw new Error("nothing can be said here");
      },
      now: () => 0,
      language: locale,
      forEar,
    }),
    tones: new Tones(() => {
      throw new Error("no sound here");
    }),
    awake: new Awake(null),
    shake: () => {},
  };
}

/** What is asked of the coin on the pan now; null until a denomination is picked. */
export function asksOf(app: Pick<App, "prefs" | "date" | "evidence">): Asks | null {
  const { country, denomination } = app.prefs;
  if (!denomination.value) return null;
  const { date, evidence } = app;
  const given = evidence.given.value;
  return {
    country: country.value,
    denomination: denomination.value,
    year: date.askYear,
    mint: date.mint.value,
    ...(isEmpty(given) ? {} : { evidence: given }),
  };
}

/** An id that no other coin has; made also on a page whose address isn't encrypted. */
export function newId(crypto: Pick<Crypto, "getRandomValues">): string {
  return [...crypto.getRandomValues(new Uint8Array(16))].map((b) => b.toString(16).padStart(2, "0")).join("");
}

export function newsWords(news: PanNews): string {
  switch (news.is) {
    case "mine":
      return text.pan.news.mine(news.from);
    case "lost":
      return text.pan.news.lost(news.to);
    case "held":
      return text.pan.news.held(news.by);
    case "free":
      return text.pan.news.free;
  }
}

/** Wires the pan's holder and the hands-free sitting to what the store knows. */
export function wireHands(
  app: Pick<
    App,
    | "session"
    | "prefs"
    | "date"
    | "evidence"
    | "panControl"
    | "handsFree"
    | "manualWeight"
    | "live"
    | "liveVerdict"
    | "announcer"
  >,
): void {
  const { session, panControl, handsFree, live, liveVerdict, announcer, manualWeight, prefs, date } = app;

  // The holder's question is told; a device that watches shows it as its own.
  effect(() => panControl.asks(asksOf(app)));
  effect(() => {
    const asks = panControl.followed.value;
    if (!asks || manualWeight.on.value) return;
    batch(() => {
      prefs.country.value = asks.country;
      prefs.denomination.value = asks.denomination;
      date.follow(asks.year, asks.mint);
    });
  });

  let lineOpen = false;
  effect(() => {
    const open = live.connection.value === "open";
    if (open && !lineOpen) panControl.opened(asksOf(app));
    lineOpen = open;
  });

  // The pan came back to this device in the middle of a sitting.
  let held = false;
  effect(() => {
    const other = panControl.state.value.is === "other";
    if (held && !other && handsFree.on.peek()) handsFree.begin(live.received.peek()?.message ?? null);
    held = other;
  });
  effect(() => {
    const news = panControl.news.value;
    if (!news) return;
    const words = newsWords(news);
    if (handsFree.on.peek()) handsFree.tell(words);
    else announcer.say(words);
  });

  effect(() => {
    const received = live.received.value;
    const shown = liveVerdict.current.value;
    // Without a tap there is no telling whether a camera misread.
    if (received && received.message.scale?.kind !== cameraKind && handsFree.on.value)
      handsFree.take(received.message, ageOf(received, live.now.peek()), shown);
  });

  // Where no voice is heard, the screen reader has the caption; what a voice says isn't read out as well.
  effect(() => {
    const { words } = handsFree.caption.value;
    if (words && handsFree.on.value && handsFree.silent.value !== null) announcer.say(words);
  });

  // A coin that can't be judged is no coin that was lifted too soon.
  effect(() => {
    const fault = liveVerdict.fault.value;
    if (!fault) {
      handsFree.over("coin");
      return;
    }
    const { nobody, failed } = text.judge;
    handsFree.tell(fault.sentence || (fault.code === nobodyAnswers ? nobody : failed), "coin");
  });

  // What a sitting must not pass over in silence, nor begin with.
  let told = "";
  effect(() => {
    const r = live.reading.value;
    const lost = live.connection.value === "waiting";
    if (!handsFree.on.value) {
      told = "";
      return;
    }
    const byCamera = r.is === "weight" && r.scale?.kind === cameraKind ? text.camera.handsFree : "";
    const words = lost ? lineLostWords(session) : r.is === "problem" ? r.problem.sentence : byCamera;
    if (words !== "") {
      if (words !== told) handsFree.tell(words, "line");
      told = words;
      return;
    }
    // It is over, and what was said of it must not stay beside a weight, nor
    // before one.
    told = "";
    if (r.is !== "weight") return;
    if (r.stale || r.phase === "none") handsFree.meanwhile("line", text.hands.said.scaleBack);
    else if (handsFree.over("line")) handsFree.tell(text.hands.said.weighsAgain);
  });

  // Typing weights is another way of weighing.
  effect(() => {
    if (!manualWeight.on.value) return;
    handsFree.end();
    panControl.leave();
  });
}
