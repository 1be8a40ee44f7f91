import type { ReadonlySignal, Signal } from "@preact/signals";
import type { CoreClient, CoreHost } from "../core/client";
import type { Denomination } from "../core/types";
import type { LocalStorage } from "../device/local-storage";
import type { Prefs } from "../device/prefs";
import type { HandsFree } from "../hands/hands";
import type { Api } from "../laptop/api";
import type { Laptop } from "../laptop/laptop";
import type { Session } from "../laptop/session";
import type { LiveClient } from "../live/socket";
import type { KeptScaleCheck } from "../scale/kept-check";
import type { CameraScale } from "../senses/camera-scale";
import type { Announcer } from "../weigh/announcer";
import type { Catalogue } from "../weigh/catalogue";
import type { CoinDate } from "../weigh/coin-date";
import type { DateEntry } from "../weigh/coin-date-entry";
import type { Evidence } from "../weigh/evidence";
import type { KeepList } from "../weigh/keep-list";
import type { KeepableCoins } from "../weigh/keepable-coin";
import type { LiveVerdict } from "../weigh/live-verdict";
import type { ManualWeight } from "../weigh/manual-weight";
import type { PanControl } from "../weigh/pan-control";
import type { LiveReading } from "../weigh/reading";
import type { SpokenLanguage } from "./language";
import type { RecordsController } from "./records";

/** Everything the screens read and act on; app.ts wires it together. */
export interface App {
  /** What this device keeps between visits. */
  readonly storage: LocalStorage;
  readonly prefs: Prefs;
  readonly language: SpokenLanguage;
  /** The first language is spoken, or couldn't be. */
  readonly speaking: Promise<void>;

  readonly laptop: Laptop;
  readonly session: Session;
  readonly api: Api;
  /** The live stream's line to the laptop. */
  readonly client: LiveClient;

  readonly core: CoreClient;
  /** Where the core runs. */
  readonly coreHost: Signal<CoreHost>;

  /** The newest weight, with its age. */
  readonly live: LiveReading;
  /** The camera that reads a scale without a cable. */
  readonly camera: CameraScale;
  readonly liveVerdict: LiveVerdict;
  readonly manualWeight: ManualWeight;
  readonly date: CoinDate;
  readonly dateEntry: DateEntry;
  readonly evidence: Evidence;
  readonly catalogue: Catalogue;
  /** What this hunter keeps. */
  readonly keepList: KeepList;
  readonly announcer: Announcer;
  /** Who holds the pan that several devices share. */
  readonly panControl: PanControl;
  readonly handsFree: HandsFree;
  /** The coin that could be kept as a find now. */
  readonly keepable: KeepableCoins;
  readonly keptCheck: KeptScaleCheck;

  /** The picked country's denominations, in the book's order. */
  readonly denominations: ReadonlySignal<Denomination[]>;
  /** Those of the chosen countries that are still struck; each is a key below the glass. */
  readonly denominationButtons: ReadonlySignal<Denomination[]>;
  /** The picked one; null before. */
  readonly denomination: ReadonlySignal<Denomination | null>;

  /** Finds and hunts; null until they are loaded, after the first screen. */
  readonly records: Signal<RecordsController | null>;
  /** How far the laptop's journal has grown, as it last said; empty before. */
  readonly notice: Signal<string>;
  /** Rises whenever the laptop has news of photos. */
  readonly photoNews: Signal<number>;
  /** What the laptop says of its own records; each empty if all is well. */
  readonly laptopRecords: Signal<{ sentence: string; copies: string }>;

  /** Opens the date’s entry; false for a tap that doesn't count while another device holds the pan. */
  enterDate(): boolean;
  /** Picks a denomination, of the picked country if none is named; a tap that doesn't count while another device holds the pan. */
  pick(id: string, country?: string): void;
  /** Begins a sitting hands-free, at a tap; without a denomination that tap is still to come. */
  beginHands(): void;
  /** Takes the pan over from another device, with the question it asks. */
  takeOver(): void;
  /** The page is back in front, or the network is. */
  wake(): void;
}
