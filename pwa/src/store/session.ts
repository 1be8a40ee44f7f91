import { signal } from "@preact/signals";
import {
  type Api,
  type Device,
  type Joined,
  type Me,
  Refusal,
  type ServerInfo,
  unreachable,
} from "../sync/api";
import type { Invitation } from "../sync/invitation";
import { readKept, type Shelf } from "./kept";

/** Why a device isn't in: the words for each are in the texts. */
export type JoinFault = "expired" | "tooMany" | "unreachable" | "ended" | "wrongServer" | "failed";

export type SessionState =
  | { at: "joining" }
  | { at: "joined"; device: Device; server: ServerInfo }
  | { at: "out"; fault: JoinFault | null; sentence: string; invitation: Invitation | null };

interface Kept {
  token: string;
  device: Device;
  server: ServerInfo;
}

const shelfKey = "panside.joined";

/** This device's joining: the token, who it is, and how it got in or fell out. */
export class Session {
  readonly state = signal<SessionState>({ at: "out", fault: null, sentence: "", invitation: null });
  /** The server lets this device change its name. */
  readonly canRename = signal(false);
  private shelf: Shelf;
  private kept: Kept | null;

  constructor(shelf: Shelf) {
    this.shelf = shelf;
    this.kept = readJoined(readKept(shelf, shelfKey));
    if (this.kept) this.state.value = { at: "joined", device: this.kept.device, server: this.kept.server };
  }

  get token(): string | null {
    return this.kept?.token ?? null;
  }

  /** Swaps an invitation's secret for this device's own token. */
  async join(api: Api, invitation: Invitation, name: string): Promise<void> {
    this.state.value = { at: "joining" };
    try {
      const joined = await api.join(invitation.secret, name);
      if (!sameKey(invitation.key, joined.server.fingerprint)) {
        this.out("wrongServer", "", null);
        return;
      }
      this.keep(joined);
    } catch (cause) {
      const refusal = cause instanceof Refusal ? cause : new Refusal("internal", "");
      const fault = joinFault(refusal.code);
      // An unanswered secret may still be good; a refused one is not.
      this.out(fault, refusal.sentence, fault === "unreachable" ? invitation : null);
    }
  }

  /** The server no longer knows this device. */
  ended(sentence: string): void {
    if (!this.kept) return;
    this.kept = null;
    this.shelf.removeItem(shelfKey);
    this.out("ended", sentence, null);
  }

  /** Takes over what the server says of this device now. */
  refresh(me: Me): void {
    if (!this.kept) return;
    this.canRename.value = me.can_rename;
    this.keep({ token: this.kept.token, device: me.device, server: me.server });
  }

  private keep(joined: Joined): void {
    this.kept = { token: joined.token, device: joined.device, server: joined.server };
    try {
      this.shelf.setItem(shelfKey, JSON.stringify(this.kept));
    } catch {
      // Without storage the joining holds until the page is closed.
    }
    this.state.value = { at: "joined", device: joined.device, server: joined.server };
  }

  private out(fault: JoinFault, sentence: string, invitation: Invitation | null): void {
    // A failed new joining leaves an older good one in place.
    if (this.kept) {
      this.state.value = { at: "joined", device: this.kept.device, server: this.kept.server };
      return;
    }
    this.state.value = { at: "out", fault, sentence, invitation };
  }
}

function joinFault(code: string): JoinFault {
  switch (code) {
    case "secret-expired":
      return "expired";
    case "too-many-tries":
      return "tooMany";
    case unreachable:
      return "unreachable";
    default:
      return "failed";
  }
}

/**
 * Whether the key an invitation names is the one of the server that answered.
 * It tells an old code apart from a fresh one when an address has changed
 * hands; that the line itself is safe is the browser's business. An invitation
 * without a key fits any.
 */
export function sameKey(invited: string, answered: string): boolean {
  const bare = (s: string) => s.replace(/[^0-9A-Za-z]/g, "").toLowerCase();
  const a = bare(invited);
  const b = bare(answered);
  return a === "" || b === "" || a.startsWith(b) || b.startsWith(a);
}

function readJoined(x: unknown): Kept | null {
  if (typeof x !== "object" || x === null) return null;
  const k = x as Partial<Kept>;
  if (typeof k.token !== "string" || !k.token || typeof k.device?.id !== "string") return null;
  return {
    token: k.token,
    device: k.device,
    server: k.server ?? { name: "", fingerprint: "" },
  };
}
