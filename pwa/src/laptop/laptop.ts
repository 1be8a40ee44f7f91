import { computed, effect, type ReadonlySignal } from "@preact/signals";
import type { LocalStorage } from "../device/local-storage";
import type { SocketLike } from "../live/socket";
import { Api, Refusal } from "./api";
import type { Invitation } from "./invitation";
import type { Prover } from "./proof";
import { type Located, ServerLocator } from "./server-address";
import { Session } from "./session";

export interface LaptopDeps extends Prover {
  storage: LocalStorage;
  /** The page's own origin. */
  origin: string;
  /** Opens the live stream's socket at an origin, “” is the page's own, for sentences in a language. */
  openSocket(base: string, language: string): SocketLike;
  /** The language of the person, as a tag. */
  language(): string;
}

/**
 * The laptop this device belongs to: who it is, where it is, and what can be asked of it.
 *
 * A server proves that it has the key this device knows (proof.ts) before it is shown
 * the token, and each new line begins with a proof; a joining code's secret goes only to
 * a server with the code's key. So no part of the app fetches the API by itself: all
 * goes through Api. The server is looked for at every address it has had: the page's
 * own first, then .local names, then the rest (server-address.ts). Browsers keep records
 * by address, so a page stays at its origin, and a first joining moves to the laptop's
 * .local name if the phone reaches it there.
 */
export interface Laptop {
  readonly session: Session;
  readonly api: Api;
  readonly locator: ServerLocator;
  /** Another server answers at the page's own address, and ours at none. */
  readonly stranger: ReadonlySignal<boolean>;
  /** Opens the live stream at the laptop's address; rejects when it is nowhere. */
  openConnection(): Promise<SocketLike>;
  join(invitation: Invitation, name: string): Promise<void>;
  /** Ends this device's own joining. What the laptop answered instead, if it didn't. */
  leave(): Promise<Refusal | null>;
}

export function createLaptop(deps: LaptopDeps): Laptop {
  const session = new Session(deps.storage);
  const locator = new ServerLocator({ ...deps, fingerprint: () => session.fingerprint });
  const api = new Api({
    fetch: deps.fetch,
    token: () => session.token,
    language: deps.language,
    base: async () => baseOf(await locator.find()),
    onSilence: () => locator.invalidate(),
    onNotJoined: (refusal, token) => session.ended(refusal.sentence, token),
  });

  effect(() => {
    const state = session.state.value;
    if (state.at === "joined") locator.remember(state.server.addresses);
  });

  const stranger = computed(
    () => session.state.value.at === "joined" && locator.located.value?.is === "stranger",
  );

  /** Every new line begins with a proof: who answers may have changed since the last one. */
  async function openConnection(): Promise<SocketLike> {
    locator.invalidate();
    const base = baseOf(await locator.find());
    if (base === null) throw new Error("the laptop is nowhere");
    return deps.openSocket(base, deps.language());
  }

  function join(invitation: Invitation, name: string): Promise<void> {
    return session.join(api, invitation, name, (key) => locator.hasKey(key));
  }

  async function leave(): Promise<Refusal | null> {
    try {
      await api.leave();
    } catch (cause) {
      const refusal = cause instanceof Refusal ? cause : new Refusal("internal", "");
      if (refusal.code !== "not-joined") return refusal;
    }
    session.forget("left");
    return null;
  }

  return { session, api, locator, stranger, openConnection, join, leave };
}

function baseOf(found: Located): string | null {
  return found.is === "here" || found.is === "moved" ? found.base : null;
}
