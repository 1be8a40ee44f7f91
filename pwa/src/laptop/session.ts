import { signal } from "@preact/signals";
import { readKept, type Shelf } from "../device/kept";
import { type Api, type Device, type Joined, type Me, Refusal, type ServerInfo, unreachable } from "./api";
import type { Invitation } from "./invitation";
import { originsIn, type Proof, sameKey } from "./proof";

/** Why a device isn't in: the words for each are in the texts. */
export type JoinFault =
  | "expired"
  | "tooMany"
  | "slow"
  | "unreachable"
  | "ended"
  | "left"
  | "wrongServer"
  | "failed";

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

  /** The key of the server this device joined; empty before. */
  get fingerprint(): string {
    return this.kept?.server.fingerprint ?? "";
  }

  /**
   * Swaps an invitation's secret for this device's own token. owns tells
   * whether the server that the page came from has the invitation's key; one
   * that hasn't isn't told the secret.
   */
  async join(
    api: Api,
    invitation: Invitation,
    name: string,
    owns: (fingerprint: string) => Promise<Proof["is"]>,
  ): Promise<void> {
    this.state.value = { at: "joining" };
    try {
      const { key } = invitation;
      const proof = key ? await owns(key) : "unable";
      if (proof === "silent") throw new Refusal(unreachable, "");
      const joined = proof === "other" ? null : await api.join(invitation.secret, name);
      if (!joined || (key && !sameKey(key, joined.server.fingerprint))) {
        this.out("wrongServer", "", null);
        return;
      }
      const before = this.kept;
      this.keep(joined);
      // One device, one joining: the laptop's list stays short.
      if (before && sameKey(before.server.fingerprint, joined.server.fingerprint))
        api.leave(before.token).catch(() => {}); // it stays on the list, where a person can end it
    } catch (cause) {
      const refusal = cause instanceof Refusal ? cause : new Refusal("internal", "");
      const fault = joinFault(refusal.code);
      // An unanswered secret may still be good; a refused one is not.
      this.out(fault, refusal.sentence, fault === "unreachable" || fault === "slow" ? invitation : null);
    }
  }

  /** The server no longer knows the device whose token that was. */
  ended(sentence: string, token: string): void {
    if (this.kept?.token !== token) return; // an earlier joining’s
    // Another page of this device may have joined anew meanwhile.
    const kept = readJoined(readKept(this.shelf, shelfKey));
    if (kept && kept.token !== token) {
      this.keep(kept);
      return;
    }
    this.forget("ended", sentence);
  }

  /** The person wants this device out. What it has recorded stays on it. */
  forget(why: "ended" | "left", sentence = ""): void {
    this.kept = null;
    this.shelf.removeItem(shelfKey);
    this.out(why, sentence, null);
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
    case "slow-down":
      return "slow";
    case unreachable:
      return "unreachable";
    default:
      return "failed";
  }
}

function readJoined(x: unknown): Kept | null {
  if (typeof x !== "object" || x === null) return null;
  const k = x as Partial<Kept>;
  if (typeof k.token !== "string" || !k.token || typeof k.device?.id !== "string") return null;
  return {
    token: k.token,
    device: k.device,
    server: {
      name: String(k.server?.name ?? ""),
      fingerprint: String(k.server?.fingerprint ?? ""),
      addresses: originsIn(k.server?.addresses),
    },
  };
}
