import { useSignal } from "@preact/signals";
import { useEffect, useMemo } from "preact/hooks";
import { claimFields, judgeFind } from "../../app/judge-find";
import type { Bench } from "../../bench/bench";
import { asEvidence, keptMeasure, keptRim, marksOf, rimOf, sameRim } from "../../bench/keep";
import { faceOf } from "../../bench/lit";
import { edgeOf, lays, type Mark, nothingYet } from "../../bench/work";
import type { Find } from "../../core/journal";
import { oneOf } from "../../core/json";
import type { AnsweredQuestion, Verdict } from "../../core/types";
import type { PendingEdits } from "../../records/pending-edits";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { photoWords } from "../finds/photos";
import { UndoBar } from "../finds/undo-bar";
import { useNames, usePendingEdits, useRecord, useRecords } from "../finds/use";
import { titleWords } from "../finds/words";
import { BenchBody } from "./body";
import { FindCamera } from "./find-camera";
import { HintsPanel } from "./hints-panel";
import { KeptLight } from "./kept-light";
import { NotOpened } from "./not-opened";
import { type OnFind, useSave } from "./on-find";
import { MakeReference, useCandidates, useHolders } from "./references";
import type { BookSize } from "./rim-panel";
import { layOn, RulerPanel } from "./ruler-panel";
import { KeepSides } from "./sides-keep";
import { useBench } from "./use-bench";
import { useBookSize } from "./use-book-size";

/** A find's photo on the bench: what is measured is kept with the find, and can answer what its verdict asks. */
export function FindBench({ record, photo }: { record: string; photo: string }) {
  const edits = usePendingEdits(record);
  const read = useRecord(record).value;
  const { acts } = useRecords();
  // What was done before stays with its own screen: here the picture needs the room.
  const before = useMemo(() => acts.last.peek(), [acts]);
  if (read.is === "reading") return <p class="quiet">{text.bench.loading}</p>;
  const find = read.is === "read" ? edits.overFind(read.value) : undefined;
  if (!find) return <p class="problem">{text.bench.gone}</p>;
  return (
    <>
      {photo ? (
        <PhotoBench find={find} edits={edits} photo={photo} />
      ) : (
        <FindCamera find={find} edits={edits} />
      )}
      <UndoBar after={before} />
    </>
  );
}

/** The bytes of a photo, from this phone or the laptop. */
function usePhotoBytes(sha256: string): { bytes: Blob | null; failed: boolean } {
  const records = useRecords();
  const state = useSignal<{ bytes: Blob | null; failed: boolean }>({ bytes: null, failed: false });
  useEffect(() => {
    let gone = false;
    state.value = { bytes: null, failed: false };
    if (!sha256) return;
    void records.shelf.whole(sha256).then((bytes) => {
      if (!gone) state.value = { bytes, failed: !bytes };
    });
    return () => {
      gone = true;
    };
  }, [records, sha256, state]);
  return state.value;
}

/** What the find's verdict is now, with the evidence it has; null while there is none. */
function useVerdict(find: Find, hunter: ReturnType<typeof useHunter>): Verdict | null {
  const app = useApp();
  const verdict = useSignal<Verdict | null>(null);
  const asked = JSON.stringify([find.coin, find.weight, find.evidence]);
  const language = app.core.language.value;
  useEffect(() => {
    let gone = false;
    void judgeFind(app.core, find, find.evidence ?? {}, hunter).then((v) => {
      if (!gone) verdict.value = v;
    });
    return () => {
      gone = true;
    };
  }, [app, asked, language, verdict]);
  return verdict.value;
}

function useHunter(find: Find) {
  const app = useApp();
  const records = useRecords();
  const source = records.going.all.value.find((h) => h.record === find.hunt)?.judge_source;
  return { ...app.keepList.asked, ...(source ? { source } : {}) };
}

function PhotoBench({ find, edits, photo }: { find: Find; edits: PendingEdits; photo: string }) {
  const { bytes, failed } = usePhotoBytes(photo);
  const book = useBookSize(find.coin);
  const names = useNames();
  const kept = find.rims?.[photo];
  const first = () => {
    const rim = rimOf(kept);
    const marks = marksOf(find.measures ?? {}, photo, 1);
    return rim || marks.length > 0 ? { ...nothingYet, rim, marks } : undefined;
  };
  const of = find.photos.find((p) => p.sha256 === photo);
  const part = of?.side === "detail";
  const opening = useBench(photo, bytes, first, !part).value;
  const { title, coin } = titleWords(find, names.countries);
  const size = useMemo<BookSize | null>(() => {
    if (kept?.mm && kept.by !== "ruler") return { mm: kept.mm, coin: coin || title, unsure: false };
    if (!book.asked) return null;
    const { diameter } = book;
    return { mm: diameter?.mm ?? null, coin: coin || title, unsure: diameter?.unsure ?? false };
  }, [kept?.mm, kept?.by, book.asked, book.diameter?.mm, book.diameter?.unsure, coin, title]);
  const holders = useHolders(find);
  const candidates = useCandidates(find, photo, holders);
  const on = opening.is === "open" ? { find, edits, bench: opening.bench, photo, holders } : null;
  return (
    <>
      <p class="quiet">
        {title}
        {of && ` · ${photoWords(of)}`}
      </p>
      {failed && <p class="problem">{text.bench.photoGone}</p>}
      {!failed && opening.is === "opening" && (
        <p class="quiet" role="status">
          {text.bench.loading}
        </p>
      )}
      {opening.is === "failed" && <NotOpened trouble={opening.trouble} />}
      {on && (
        <BenchBody
          bench={on.bench}
          size={size}
          candidates={candidates}
          part={part}
          rimMore={<KeepRim {...on} />}
          rulers={<FindRulers {...on} />}
          overMore={<MakeReference {...on} side={of?.side} />}
          lightMore={(light) => <KeptLight {...on} light={light} side={of?.side} />}
          hints={(parts) => <HintsPanel {...on} {...parts} face={faceOf(of?.side)} />}
          coin={find.coin}
          face={faceOf(of?.side)}
          sidesMore={(sides) => <KeepSides {...on} sides={sides} />}
        />
      )}
    </>
  );
}

function KeepRim(props: OnFind) {
  const { find, bench, photo } = props;
  const save = useSave(props);
  const { rim } = bench.work.now.value;
  if (!rim) return null;
  const kept = rimOf(find.rims?.[photo]);
  const edge = edgeOf(rim) !== null;
  if (kept && sameRim(kept, keptRim(rim, null) as typeof kept)) {
    return (
      <p class="quiet small" data-part="rim-kept">
        {edge ? text.bench.rim.kept : text.closeUp.kept}
      </p>
    );
  }
  return (
    <button
      type="button"
      class="button wide"
      data-do="keep-rim"
      onClick={() => void save({ [`rim/${photo}`]: keptRim(rim, bench.diameter.value) })}
    >
      {edge ? text.bench.rim.keep : text.closeUp.keep}
    </button>
  );
}

function FindRulers(props: OnFind) {
  const { find, bench, photo, holders } = props;
  const app = useApp();
  const save = useSave(props);
  const hunter = useHunter(find);
  const verdict = useVerdict(find, hunter);
  const records = useRecords();
  const evidence = find.evidence ?? {};
  /** The measurement with its rim: one without the other would be a number from nowhere. */
  const keep = (mark: Mark): Record<string, unknown> | null => {
    const { rim } = bench.work.now.peek();
    const says = bench.says.peek().get(mark.id);
    if (!rim || !says) return null;
    return {
      [`rim/${photo}`]: keptRim(rim, bench.diameter.peek()),
      [`measure/${mark.id}`]: keptMeasure(photo, mark, says, Date.now()),
    };
  };
  const use = async (mark: Mark) => {
    const says = bench.says.peek().get(mark.id);
    const kept = keep(mark);
    if (!says || !kept) return;
    const given = { ...evidence, [mark.of]: asEvidence(says, await known(mark.of)) };
    const judged = await judgeFind(app.core, find, given, hunter);
    await save({ ...kept, ...claimFields(given, judged) });
  };
  const takeOut = async (question: string) => {
    const { [question]: _, ...given } = evidence;
    const judged = await judgeFind(app.core, find, given, hunter);
    await save(claimFields(given, judged));
  };
  /** The same length on my reference, of which it was said by eye what it shows. */
  const known = async (question: string) => {
    for (const h of holders) {
      if (h.record === find.record) continue;
      const of = (await records.journal.record(h.record)).find;
      const choice = of?.evidence?.[question] ?? "";
      const measured = Object.values(of?.measures ?? {}).find((m) => m.of === question);
      if (measured && choice && !choice.startsWith("{")) return { choice, mm: measured.value, u: measured.u };
    }
    return undefined;
  };
  /** What an eye has answered a ruler doesn't overrule; it is kept, to be held against others. */
  const byEye = (question: string) => !(evidence[question] ?? "{").startsWith("{");
  const acts = (mark: Mark) => {
    const says = bench.says.value.get(mark.id);
    if (!says) return null;
    const kept = find.measures?.[mark.id];
    const same = kept && Math.abs(kept.value - says.value) < 1e-3 && Math.abs(kept.u - says.u) < 1e-3;
    const used = mark.of !== "" && (evidence[mark.of] ?? "").startsWith(asEvidence(says).slice(0, -1));
    return (
      <>
        {same ? (
          <span class="tag" data-part="ruler-kept">
            {text.bench.ruler.kept}
          </span>
        ) : (
          <button
            type="button"
            class="button"
            data-do="keep-ruler"
            onClick={() => {
              const set = keep(mark);
              if (set) void save(set);
            }}
          >
            {text.bench.ruler.keep}
          </button>
        )}
        {mark.of &&
          !byEye(mark.of) &&
          (used ? (
            <>
              <span class="tag">{text.bench.ruler.used}</span>
              <button type="button" class="button" data-do="ruler-out" onClick={() => void takeOut(mark.of)}>
                {text.bench.ruler.takeOut}
              </button>
            </>
          ) : (
            <button type="button" class="button main" data-do="use-ruler" onClick={() => void use(mark)}>
              {text.bench.ruler.use}
            </button>
          ))}
      </>
    );
  };
  return (
    <RulerPanel bench={bench} acts={acts}>
      <Asked verdict={verdict} bench={bench} />
    </RulerPanel>
  );
}

const choiceOf = (a: AnsweredQuestion): string => a.choices.find((c) => c.id === a.choice)?.name ?? a.choice;

/** What the verdict asks that a ruler can answer, and what it has answered. */
function Asked({ verdict, bench }: { verdict: Verdict | null; bench: Bench }) {
  const answered = verdict?.answered.find((a) => a.odds !== undefined);
  // A coin that was told by eye can be measured all the same: it then stands in for the book's lengths.
  const byEye = verdict?.answered.find((a) => a.ruler && a.odds === undefined);
  const open = verdict?.question?.ruler ? verdict.question : (byEye ?? null);
  const lay = oneOf(lays, open?.ruler?.is);
  return (
    <div data-part="bench-asked" data-question={open?.id} data-answered={answered?.choice}>
      {verdict && (
        <p data-part="bench-verdict" data-call={verdict.call}>
          <strong>{text.bench.ruler.verdict}:</strong> {verdict.headline}
        </p>
      )}
      {answered && (
        <p role="status">
          {text.bench.ruler.answered(choiceOf(answered), Math.round(answered.odds ?? 0).toString())}
        </p>
      )}
      {open && lay && (
        <>
          <p>
            <strong>{byEye ? text.bench.ruler.byEye : text.bench.ruler.asked}:</strong>{" "}
            {byEye ? choiceOf(byEye) : open.sentence}
          </p>
          <p>{open.ruler?.where}</p>
          {open.odds !== undefined && (
            <p class="problem" role="status">
              {text.bench.ruler.open}
            </p>
          )}
          {open.ruler?.grade === "from memory" && <p class="quiet small">{text.bench.ruler.byMemory}</p>}
          <button
            type="button"
            class="button main"
            data-do="lay-asked"
            onClick={() => layOn(bench, lay, open.id)}
          >
            {text.bench.ruler.layOn}
          </button>
        </>
      )}
    </div>
  );
}
