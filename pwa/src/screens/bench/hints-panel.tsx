import { useSignal } from "@preact/signals";
import type { ComponentChildren } from "preact";
import { useEffect, useMemo } from "preact/hooks";
import type { Bench } from "../../bench/bench";
import type { Hints, Scores } from "../../bench/hints";
import { type Face, litPhotos, otherFace } from "../../bench/lit";
import { type OrdinaryCoin, OrdinaryCoins, readOrdinary } from "../../bench/ordinary";
import type { SideLight } from "../../bench/side-light";
import { mapped } from "../../bench/zoom";
import type { Find, PhotoOf } from "../../core/journal";
import { storedSignal } from "../../device/local-storage";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { addressOf } from "../../view/places";
import { sidesFirst } from "../finds/photo-order";
import { useRead, useRecords } from "../finds/use";
import { HintList } from "./hint-list";
import { lightKept, openKept } from "./kept-light";
import { reliefMap } from "./light-panel";
import type { OnFind } from "./on-find";

/** What of the bench hints are made of. */
export interface HintParts {
  bench: Bench;
  light: SideLight;
  hints: Hints;
  /** Goes on to side light. */
  toLight(): void;
}

/** Why there can be no hints here, in one sentence. */
export function NoHints({ words }: { words: string }) {
  return (
    <section class="card hints" data-part="hints-panel" data-state="none">
      <p class="quiet small">{text.hints.hint}</p>
      <p data-part="hints-missing">{words}</p>
    </section>
  );
}

/** Hints on a find's photo, where it shows a side of a coin that is known. */
export function HintsPanel(props: OnFind & HintParts & { face: Face | undefined }) {
  const { find, face } = props;
  if (!face) return <NoHints words={text.hints.noFace} />;
  if (!find.coin) return <NoHints words={text.hints.noCoin} />;
  if (find.references?.[face]) return <NoHints words={text.hints.isReference} />;
  return <FaceHints {...props} face={face} />;
}

/** The find that holds the reference of a side, with its photos. */
function useHolder(holders: readonly Find[], record: string, face: Face): Find | null {
  const holder = holders.find((h) => h.record !== record && h.references?.[face]);
  const id = holder?.record ?? "";
  const read = useRead(
    // A list's finds come without what is long.
    async (records) => (id ? ((await records.journal.record(id)).find ?? null) : null),
    [id],
  ).value;
  return read.is === "read" ? read.value : null;
}

function FaceHints(props: OnFind & HintParts & { face: Face }) {
  const { find, face, light, hints, bench, holders } = props;
  const app = useApp();
  const records = useRecords();
  const ordinaries = useMemo(
    () =>
      new OrdinaryCoins(
        storedSignal<readonly OrdinaryCoin[]>(app.storage, "panside.ordinary-coins", readOrdinary),
      ),
    [app],
  );
  const gone = useSignal(false);
  const busy = useSignal(false);
  const reverse = otherFace(face);
  const holder = useHolder(holders, find.record, face);
  const behind = useHolder(holders, find.record, reverse);
  const mine = litPhotos(find.photos, face);
  const ordinary = holder && litPhotos(holder.photos, face);
  const other = litPhotos(find.photos, reverse) ?? (behind && litPhotos(behind.photos, reverse));
  const making = light.making.value;
  const comparing = hints.comparing.value;
  const mm = bench.diameter.value;
  const lit = making.is === "made" || mine !== null;
  const id = `${find.record}/${face}`;
  const working = busy.value || comparing.is === "comparing" || making.is === "making";
  const seek = async () => {
    busy.value = true;
    gone.value = false;
    try {
      const open = async (photos: PhotoOf[] | null) => {
        const frames = photos && (await openKept(records, photos));
        if (photos && !frames) gone.value = true;
        return frames && photos ? { id: photos.map((p) => p.sha256).join(), frames } : null;
      };
      if (light.making.peek().is !== "made" && mine) gone.value = !(await lightKept(records, light, mine));
      const [ours, theirs] = [await open(ordinary), await open(other)];
      if (gone.peek() || !mm || light.making.peek().is !== "made") return;
      await hints.compare(ours, theirs, mm, ordinaries.scoresBut(id));
    } finally {
      busy.value = false;
    }
  };
  return (
    <section class="card hints" data-part="hints-panel" data-state={comparing.is}>
      <p class="quiet small">{text.hints.hint}</p>
      {comparing.is !== "compared" && (
        <Needs {...props} lit={lit} holder={holder} ordinary={ordinary !== null} other={other !== null} />
      )}
      {mm === null && <p class="problem">{text.hints.noSize}</p>}
      {working && (
        <>
          <p role="status">
            {making.is === "making" ? text.bench.light.making : text.hints.comparing}{" "}
            {text.percent(
              making.is === "making" ? making.done : comparing.is === "comparing" ? comparing.done : 0,
            )}
          </p>
          <button
            type="button"
            class="button"
            data-do="stop-hints"
            onClick={() => {
              light.stop();
              hints.stop();
            }}
          >
            {text.bench.stop}
          </button>
        </>
      )}
      {gone.value && <p class="problem">{text.hints.notHad}</p>}
      {making.is === "refused" && (
        <p class="problem" role="alert" data-part="hints-refused" data-why={making.why}>
          {text.bench.light.refusals[making.why]}
        </p>
      )}
      {comparing.is === "refused" && (
        <p class="problem" role="alert" data-part="hints-refused" data-why={comparing.why}>
          {text.hints.refusals[comparing.why]}
        </p>
      )}
      {comparing.is === "no-shape" && (
        <p class="problem" role="alert" data-part="hints-refused" data-why={comparing.why}>
          {text.hints.noShape(text.hints.whose[comparing.whose], text.bench.light.refusals[comparing.why])}
        </p>
      )}
      {comparing.is === "compared" && (
        <HintList
          hints={hints}
          seen={comparing}
          find={find}
          face={face}
          lookAt={(h) => {
            const map = reliefMap(bench, light);
            bench.zoom.lookAt(mapped(map, h), h.r * (map[0] ?? 1));
          }}
        />
      )}
      {!working && lit && mm !== null && (ordinary !== null || other !== null) && (
        <button
          type="button"
          class={comparing.is === "compared" ? "button" : "button main"}
          data-do="seek-hints"
          onClick={() => void seek()}
        >
          {comparing.is === "idle" ? text.hints.seek : text.hints.again}
        </button>
      )}
      {comparing.is === "compared" && ordinary && (
        <Calibration ordinaries={ordinaries} id={id} scores={comparing.scores} enough={comparing.enough} />
      )}
    </section>
  );
}

/** What is there and what is missing, each with the way to it. */
function Needs(
  props: OnFind &
    HintParts & {
      face: Face;
      lit: boolean;
      holder: Find | null;
      ordinary: boolean;
      other: boolean;
    },
) {
  const { find, face, lit, holder, ordinary, other } = props;
  const behind = sidesFirst(find.photos).find((p) => p.side === otherFace(face));
  const reference = holder?.references?.[face];
  return (
    <>
      <h2>{text.hints.needs}</h2>
      <ul class="plain needs">
        <Need words={text.hints.mine} there={lit}>
          <button type="button" class="button" data-do="to-light" onClick={props.toLight}>
            {text.hints.lightIt}
          </button>
        </Need>
        <Need words={text.hints.ordinary} there={ordinary}>
          {holder && reference ? (
            <a
              class="button"
              data-do="open-reference"
              href={addressOf("second-look", `${holder.record}/${reference}`)}
            >
              {text.hints.openReference}
            </a>
          ) : (
            <p class="quiet small">{text.hints.howOrdinary}</p>
          )}
        </Need>
        <Need words={text.hints.other} there={other}>
          {behind ? (
            <a
              class="button"
              data-do="open-other"
              href={addressOf("second-look", `${find.record}/${behind.sha256}`)}
            >
              {text.hints.openOther}
            </a>
          ) : (
            <p class="quiet small">{text.hints.noOther}</p>
          )}
        </Need>
      </ul>
    </>
  );
}

function Need(props: { words: string; there: boolean; children: ComponentChildren }) {
  return (
    <li data-there={props.there || undefined}>
      <p>
        {props.words} <span class="tag">{props.there ? text.hints.there : text.hints.missing}</span>
      </p>
      {!props.there && props.children}
    </li>
  );
}

/** The hunter's own ordinary coins, which say what a mark is worth under their camera. */
function Calibration(props: {
  ordinaries: OrdinaryCoins;
  id: string;
  scores: Scores;
  /** From so many on they set the bar. */
  enough: number;
}) {
  const { ordinaries, id, scores, enough } = props;
  const { count } = ordinaries;
  const counts = ordinaries.has(id);
  useEffect(() => {
    // Looked at again, it counts as it looks now.
    if (ordinaries.has(id)) ordinaries.add(id, scores);
  }, [ordinaries, id, scores]);
  return (
    <details class="fold" data-part="calibration" data-count={count}>
      <summary>{text.hints.calibration}</summary>
      <div class="inside">
        <p class="quiet small">{text.hints.calibrationHint(enough)}</p>
        <p role="status">
          {count < enough ? text.hints.counted(count, enough) : text.hints.setBy(count)}
          {counts && ` ${text.hints.taught}`}
        </p>
        <button
          type="button"
          class="button"
          data-do={counts ? "not-ordinary" : "is-ordinary"}
          onClick={() => (counts ? ordinaries.drop(id) : ordinaries.add(id, scores))}
        >
          {counts ? text.hints.untaught : text.hints.teach}
        </button>
        <p class="quiet small">{text.hints.onDevice}</p>
      </div>
    </details>
  );
}
