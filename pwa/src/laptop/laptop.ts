import { computed, effect } from "@preact/signals";
import type { Shelf } from "../device/kept";
import type { SocketLike } from "../live/socket";
import { Api, Refusal } from "./api";
import type { Invitation } from "./invitation";
import type { Prover } from "./proof";
import { Session } from "./session";
import { type Found, Whereabouts } from "./whereabouts";

export interface LaptopDeps extends Prover {
  shelf: Shelf;
  /** The page's own origin. */
  origin: string;
  /** Opens the live stream's socket at an origin; “” is the page's own. */
  openSocket(base: string): SocketLike;
}

/** The laptop this device belongs to: who it is, where it is, and what can be asked of it. */
export function createLaptop(deps: LaptopDeps) {
  const session = new Session(deps.shelf);
  const whereabouts = new Whereabouts({ ...deps, fingerprint: () => session.fingerprint });
  const api = new Api({
    fetch: deps.fetch,
    token: () => session.token,
    base: async () => baseOf(await whereabouts.find()),
    onSilence: () => whereabouts.doubt(),
    onNotJoined: (refusal, token) => session.ended(refusal.sentence, token),
  });

  effect(() => {
    const state = session.state.value;
    if (state.at === "joined") whereabouts.remember(state.server.addresses);
  });

  /** Another server answers at the page's own address, and ours at none. */
  const stranger = computed(
    () => session.state.value.at === "joined" && whereabouts.found.value?.is === "stranger",
  );

  /** Every new line begins with a proof: who answers may have changed since the last one. */
  async function openLine(): Promise<SocketLike> {
    whereabouts.doubt();
    const base = baseOf(await whereabouts.find());
    if (base === null) throw new Error("the laptop is nowhere");
    return deps.openSocket(base);
  }

  function join(invitation: Invitation, name: string): Promise<void> {
    return session.join(api, invitation, name, (key) => whereabouts.owns(key));
  }

  /** Ends this device's own joining. What the laptop answered instead, if it didn't. */
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

  return { session, api, whereabouts, stranger, openLine, join, leave };
}

function baseOf(found: Found): string | null {
  return found.is === "here" || found.is === "moved" ? found.base : null;
}
