/**
 * What the core's sync tells the phone to do, and what is answered. The rules
 * are the core's: internal/sync says what each part means, and the examples in
 * testdata/wire/phone are held to on both sides.
 */
import type { RawEntry } from "./journal";

/** What the sync does now. */
export type Doing = { is: "nothing" } | { is: "entries" } | { is: "photos"; progress: PhotoProgress };

/** How far the photos' sending has come. */
export interface PhotoProgress {
  done: number;
  of: number;
  /** Of the photo under way, 0 to 1. */
  part: number;
}

/**
 * How the last round ended: “away” when the laptop wasn't reached, which is no
 * fault; “store” when the phone's storage failed; “refused” with the laptop's
 * or the core's own sentence. Trouble is the phone's own word.
 */
export type Ended<Trouble extends string = string> =
  | { is: "never" }
  | { is: "well"; at: number }
  | { is: "away" }
  | { is: "store"; trouble: Trouble }
  | { is: "refused"; code: string; sentence?: string };

/** A photo that should be on the laptop and isn't. */
export interface WantedPhoto {
  photo: string;
  /** damaged and gone: it was there; absent: a find names it and it isn't there. */
  why: "damaged" | "gone" | "absent";
  /** A find that names it; empty if none is known. */
  record: string;
  /** This device has it, and sends it. */
  here: boolean;
  /** Names of the devices that haven't said that they don't have it; none: nobody has it. */
  waiting_for: string[];
}

/** What a screen says of the last round. */
export interface SyncShown {
  ended: Ended;
  left_over: string;
  unreadable: number;
  wanted: WantedPhoto[];
  unread: number;
}

export interface SyncQuery {
  what: "marks" | "entries" | "unsent" | "one" | "held" | "old" | "room";
  leave_out?: string[];
  limit?: number;
  bytes?: number;
  photos?: string[];
  before?: number;
}

export interface SyncRequest {
  method: string;
  path: string;
  headers?: Record<string, string>;
  /** The body is to be cut from a photo. */
  part?: { photo: string; from: number; to: number };
}

export interface SyncChange {
  forget?: boolean;
  drop?: string[];
  add?: RawEntry[];
  added?: boolean;
  sent?: string[];
  receipt?: string;
  cursor?: string;
  photos?: {
    unsent?: string[];
    sent?: string[];
    at?: number;
    refused?: string;
    why?: string;
    free?: string[];
  };
  reopen?: boolean;
}

interface Beside {
  doing: Doing;
  shown?: SyncShown;
}

export type SyncStep = Beside &
  (
    | { id: string; do: "alone" }
    | { id: string; do: "read"; read: SyncQuery }
    | { id: string; do: "ask"; ask: SyncRequest }
    | { id: string; do: "store"; store: SyncChange }
    | { do: "wait"; until?: number }
  );

/** What came of a step. */
export interface SyncReply {
  step: string;
  failed?: Ended;
  alone?: boolean;
  status?: number;
  /** Nothing was asked, for the photo isn't here any more. */
  gone?: boolean;
  receipt?: string;
  cursor?: string;
  ids?: string[];
  photos?: string[];
  waiting?: string[];
  bytes?: number;
  type?: string;
  used?: number;
}

/** What happened that a round may come of. */
export type SyncOccasion = { why: "start" | "stop" | "occasion" } | { why: "notice"; cursor: string };
