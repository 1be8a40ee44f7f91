import { type ReadonlySignal, type Signal, signal } from "@preact/signals";
import { readAnswer } from "./read";
import type { Answer, JournalMethod, Method } from "./types";

/** Who answers: the core on this phone, the laptop meanwhile, or the laptop for good. */
export type CoreHost = "waiting" | "phone" | "laptop";

/** What the core answers: its JSON, and what is to be kept as it is. */
export interface Said {
  json: string;
  bytes?: ArrayBuffer;
}

/** What the core answered, read, with what is to be kept as it is. */
export type Heard = Answer<unknown> & { bytes?: ArrayBuffer };

/** What runs the core on the phone. call gives the core's JSON; all reject when it can't run. */
export interface LocalCore {
  load(): Promise<void>;
  call(method: Method, json: string): Promise<string>;
  /** The same with bytes in and out, for the notebook. The bytes given are the core's from then on. */
  exchange(method: JournalMethod, json: string, bytes?: ArrayBuffer): Promise<Said>;
  /** Answers in another language from then on, as far as the book has it. */
  speak(language: string): Promise<void>;
}

/** Asks the server for the same; rejects when it can't be reached. */
export type RemoteCore = (method: Method, json: string) => Promise<string>;

/** The code of an answer that no core could give: neither here nor on the laptop. */
export const nobodyAnswers = "nobody-answers";

/** The code of an answer that only the phone's own core could give, and it can't run here. */
export const noCoreHere = "no-core-here";

/** Whether an answer says that this device lacks a part of the coin book (internal/fault/codes.go). */
const lacksBook = (a: Answer<unknown>): boolean =>
  "error" in a && ["book-missing", "book-damaged", "book-version"].includes(a.error.code);

/**
 * One door to the core. Until the phone's own core is up, and for good if it
 * can't run, the laptop answers; the answers are the same, it is the same core.
 */
export class CoreClient {
  private local: LocalCore;
  private remote: RemoteCore;
  private host: CoreHost = "waiting";
  private onHost: (host: CoreHost) => void;
  private spoken: Signal<string>;
  private decide: () => void = () => {};
  private decided = new Promise<void>((resolve) => {
    this.decide = resolve;
  });

  constructor(local: LocalCore, remote: RemoteCore, onHost: (host: CoreHost) => void, language = "en") {
    this.local = local;
    this.remote = remote;
    this.onHost = onHost;
    this.spoken = signal(language);
  }

  /** The language it answers in. Who shows an answer asks again when it changes. */
  get language(): ReadonlySignal<string> {
    return this.spoken;
  }

  /** Answers in another language from now on; the laptop is told it with each question. */
  async speak(language: string): Promise<void> {
    try {
      await this.local.speak(language);
    } catch {
      // The core here has ended; the next question finds that out.
    }
    this.spoken.value = language;
  }

  /** Loads the phone's core; returns once it is decided who judges. */
  async load(): Promise<void> {
    try {
      await this.local.load();
      this.set("phone");
    } catch {
      this.set("laptop");
    }
    this.decide();
  }

  /** Resolves once it is decided whether the core runs on this phone. */
  settled(): Promise<void> {
    return this.decided;
  }

  async call(method: Method, input: unknown): Promise<Answer<unknown>> {
    const json = JSON.stringify(input);
    if (this.host === "phone") {
      try {
        const here = readAnswer(await this.local.call(method, json));
        if (!lacksBook(here)) return here;
        // A part of the book is missing or damaged here; the laptop has its own.
        const there = await this.askLaptop(method, json);
        return "ok" in there ? there : here;
      } catch {
        // The core on the phone died; a fresh page may bring it back, until then the laptop answers.
        this.set("laptop");
      }
    }
    if (this.host === "laptop") return this.askLaptop(method, json);
    // Still loading: the laptop's answer, or the phone's if its core is up before that.
    const laptop = this.askLaptop(method, json);
    const first = await Promise.race([laptop, this.decided]);
    if (first && "ok" in first) return first;
    // Out of the laptop's reach, the question waits for the core that is on its way.
    if (first && first.error.code === nobodyAnswers) await this.decided;
    return (this.host as CoreHost) === "phone" ? this.call(method, input) : laptop;
  }

  /** Asks the phone's own core, which alone keeps the notebook; waits until it is up. */
  async callHere(method: JournalMethod, input: string, more?: ArrayBuffer): Promise<Heard> {
    await this.decided;
    if (this.host === "phone") {
      try {
        const { json, bytes } = await this.local.exchange(method, input, more);
        return { ...readAnswer(json), ...(bytes && { bytes }) };
      } catch {
        this.set("laptop");
      }
    }
    return { error: { code: noCoreHere, sentence: "" } };
  }

  private async askLaptop(method: Method, json: string): Promise<Answer<unknown>> {
    try {
      return readAnswer(await this.remote(method, json));
    } catch {
      return { error: { code: nobodyAnswers, sentence: "" } };
    }
  }

  private set(host: CoreHost): void {
    if (this.host === host) return;
    this.host = host;
    this.onHost(host);
  }
}
