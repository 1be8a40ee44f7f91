import { batch, effect } from "@preact/signals";
import { nobodyAnswers } from "../core/client";
import { Awake } from "../device/awake";
import { Speaker } from "../device/speech";
import { Tones } from "../device/tones";
import type { HandsDevices } from "../hands/hands";
import { lineLostWords } from "../laptop/line-words";
import { ageOf } from "../live/age";
import type { Asks } from "../live/wire";
import { text } from "../text";
import { isEmpty } from "../weigh/evidence";
import type { PanNews } from "../weigh/pan";
import type { App } from "./app";

/** A device that can't be heard, for where there is none. */
export function deafDevices(): HandsDevices {
  return {
    speaker: new Speaker({
      synth: null,
      utterance: () => {
        throw new Error("nothing can be said here");
      },
      now: () => 0,
      language: text.language,
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
    "session" | "prefs" | "date" | "evidence" | "pan" | "hands" | "typed" | "live" | "judging" | "announcer"
  >,
): void {
  const { session, pan, hands, live, judging, announcer, typed, prefs, date } = app;

  // The holder's question is told; a device that watches shows it as its own.
  effect(() => pan.asks(asksOf(app)));
  effect(() => {
    const asks = pan.followed.value;
    if (!asks || typed.on.value) return;
    batch(() => {
      prefs.country.value = asks.country;
      prefs.denomination.value = asks.denomination;
      date.follow(asks.year, asks.mint);
    });
  });

  let lineOpen = false;
  effect(() => {
    const open = live.line.value === "open";
    if (open && !lineOpen) pan.opened(asksOf(app));
    lineOpen = open;
  });

  // The pan came back to this device in the middle of a sitting.
  let held = false;
  effect(() => {
    const other = pan.state.value.is === "other";
    if (held && !other && hands.on.peek()) hands.begin(live.received.peek()?.message ?? null);
    held = other;
  });
  effect(() => {
    const news = pan.news.value;
    if (!news) return;
    const words = newsWords(news);
    if (hands.on.peek()) hands.tell(words);
    else announcer.say(words);
  });

  effect(() => {
    const received = live.received.value;
    const shown = judging.current.value;
    if (received && hands.on.value) hands.take(received.message, ageOf(received, live.now.peek()), shown);
  });

  // Where no voice is heard, the screen reader has the caption; what a voice says isn't read out as well.
  effect(() => {
    const { words } = hands.caption.value;
    if (words && hands.on.value && hands.silent.value !== null) announcer.say(words);
  });

  // A coin that can't be judged is no coin that was lifted too soon.
  effect(() => {
    const fault = judging.fault.value;
    if (!fault) return;
    const { nobody, failed } = text.judge;
    hands.tell(fault.sentence || (fault.code === nobodyAnswers ? nobody : failed));
  });

  // What a sitting must not pass over in silence, nor begin with.
  let told = "";
  effect(() => {
    const r = live.reading.value;
    const lost = live.line.value === "waiting";
    if (!hands.on.value) {
      told = "";
      return;
    }
    const words = lost ? lineLostWords(session) : r.is === "problem" ? r.problem.sentence : "";
    if (words !== "") {
      if (words !== told) hands.tell(words);
      told = words;
      return;
    }
    // It is over, and what was said of it must not stay beside a weight.
    if (told === "" || r.is !== "weight" || r.stale || r.phase === "none") return;
    if (hands.caption.peek().words === told) hands.tell(text.hands.said.weighsAgain);
    told = "";
  });

  // Typing weights is another way of weighing.
  effect(() => {
    if (!typed.on.value) return;
    hands.end();
    pan.leave();
  });
}
