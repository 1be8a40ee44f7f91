import { useSignal } from "@preact/signals";
import { useEffect, useMemo } from "preact/hooks";
import type { Bench, Picture } from "../../bench/bench";
import type { Face } from "../../bench/lit";
import { lookings, type Over } from "../../bench/over";
import type { Reference } from "../../bench/sides";
import { onGlass, type Point, type Zoom } from "../../bench/zoom";
import { text } from "../../text";
import { meanText, uncertaintyText } from "../weigh/figures";
import { type Draw, drawPicture, Glass, useDraw } from "./glass";
import { signed } from "./ruler-words";

/** How long each of the two is shown when they blink: slow enough for every eye. */
const blinkMs = 700;

/** Two pictures of one design: beside each other under one cursor, or one over the other. */
export function OverView({ bench, over }: { bench: Bench; over: Over }) {
  const looking = over.looking.value;
  const other = over.other.value;
  const map = over.fit.value?.map;
  const strength = over.strength.value;
  // Under another lamp a difference shows the lamp.
  const differ = looking === "difference" && over.fit.value?.alike === true;
  const cursor = useSignal<Point | null>(null);
  const shown = useBlink(looking === "blink");
  const top = looking === "blink" ? (shown ? 1 : 0) : strength;
  const mine = useDraw(bench.picture.bitmap);
  const both = useMemo<Draw>(
    () => (pen, view, glass, dense) => {
      mine(pen, view, glass, dense);
      if (!other || !map) return;
      if (differ) pen.globalCompositeOperation = "difference";
      pen.globalAlpha = differ ? 1 : top;
      drawPicture(pen, other.bitmap, view, glass, map);
      pen.globalAlpha = 1;
      pen.globalCompositeOperation = "source-over";
    },
    [mine, other, map, top, differ],
  );
  const theirs = useMemo<Draw>(
    () => (pen, view, glass) => {
      if (other && map) drawPicture(pen, other.bitmap, view, glass, map);
    },
    [other, map],
  );
  const point = (at: Point | null) => {
    cursor.value = at;
  };
  if (looking !== "beside") {
    return <Glass zoom={bench.zoom} label={text.bench.picture} draw={other ? both : mine} />;
  }
  return (
    <div class="glass-pair">
      <Glass zoom={bench.zoom} label={text.bench.picture} draw={mine} onPoint={point}>
        <Cursor zoom={bench.zoom} at={cursor.value} />
      </Glass>
      <Glass zoom={bench.zoom} label={text.bench.over.otherLabel} draw={theirs} onPoint={point}>
        <Cursor zoom={bench.zoom} at={cursor.value} />
      </Glass>
    </div>
  );
}

function useBlink(on: boolean): boolean {
  const shown = useSignal(true);
  useEffect(() => {
    if (!on) return;
    const timer = setInterval(() => {
      shown.value = !shown.peek();
    }, blinkMs);
    return () => clearInterval(timer);
  }, [on, shown]);
  return shown.value;
}

/** The place that is pointed at, on both pictures. */
function Cursor({ zoom, at }: { zoom: Zoom; at: Point | null }) {
  if (!at) return null;
  const { width, height } = zoom.glass.value;
  const p = onGlass(zoom.view.value, { width, height }, at);
  const cross = <path d={`M${p.x - 14} ${p.y}h28M${p.x} ${p.y - 14}v28`} />;
  return (
    <svg
      class="glass-lines"
      width={width}
      height={height}
      aria-hidden="true"
      focusable="false"
      data-part="cursor"
    >
      <g class="under">{cross}</g>
      <g class="over">{cross}</g>
    </svg>
  );
}

/** A picture that can be laid over the one on the bench. */
export interface Candidate {
  id: string;
  words: string;
  /** It shows all of this very coin. */
  whole: boolean;
  /** It is one of several with the lamp on different sides. */
  lit?: boolean;
  /** The side that it is the hunter's reference of. */
  reference?: Face;
  /** level is the line on it that is known to lie so. */
  load(): Promise<{ picture: Picture; rim: Parameters<Over["take"]>[1]; level?: Reference["level"] } | null>;
}

/** The pictures to choose from; those of side light, which are many, fold away. */
export function Candidates(props: {
  label: string;
  all: readonly Candidate[];
  /** The one that is there now; left out where none stays chosen. */
  taken?: string;
  onPick(c: Candidate): void;
  children?: preact.ComponentChildren;
}) {
  const chips = (some: readonly Candidate[]) =>
    some.map((c) => (
      <button
        key={c.id}
        type="button"
        class="chip-button"
        data-other={c.id}
        aria-pressed={props.taken === undefined ? undefined : props.taken === c.id}
        onClick={() => props.onPick(c)}
      >
        {c.words}
      </button>
    ));
  const lit = props.all.filter((c) => c.lit);
  return (
    <>
      <div class="row" role="group" aria-label={props.label}>
        {chips(props.all.filter((c) => !c.lit))}
        {props.children}
      </div>
      {lit.length > 0 && (
        <details class="fold" data-part="lit-photos">
          <summary>{text.bench.over.litPhotos(lit.length)}</summary>
          <div class="row inside">{chips(lit)}</div>
        </details>
      )}
    </>
  );
}

/** Which other picture, how the two are looked at, and how they lie. */
export function OverPanel(props: {
  over: Over;
  candidates: readonly Candidate[];
  children?: preact.ComponentChildren;
}) {
  const { over } = props;
  const laying = over.laying.value;
  const looking = over.looking.value;
  const fit = over.fit.value;
  const gone = useSignal(false);
  const pick = async (c: Candidate) => {
    gone.value = false;
    const loaded = await c.load().catch(() => null);
    if (!loaded) {
      gone.value = true;
      return;
    }
    await over.take(loaded.picture, loaded.rim);
  };
  return (
    <section class="card" data-part="over-panel" data-state={laying.is} data-looking={looking}>
      <p class="quiet small">{text.bench.over.hint}</p>
      <Candidates
        label={text.bench.over.with}
        all={props.candidates}
        taken={over.other.value?.name ?? ""}
        onPick={(c) => void pick(c)}
      >
        {props.children}
      </Candidates>
      {gone.value && <p class="problem">{text.bench.photoGone}</p>}
      {over.other.value && (
        <div class="choice-row" role="group" aria-label={text.bench.over.how}>
          {lookings.map((l) => (
            <button
              key={l}
              type="button"
              class="chip-button"
              data-looking={l}
              aria-pressed={looking === l}
              onClick={() => void over.look(l)}
            >
              {text.bench.over.looking[l]}
            </button>
          ))}
        </div>
      )}
      {looking === "difference" && laying.is === "laid" && !fit?.alike && (
        <p class="problem" role="status" data-part="not-alike">
          {text.bench.over.notAlike}
        </p>
      )}
      {over.other.value && (looking === "faded" || looking === "mirrored") && (
        <Slide
          name="strength"
          label={text.bench.over.strength}
          value={Math.round(over.strength.value * 100)}
          low={0}
          high={100}
          onSlide={(v) => {
            over.strength.value = v / 100;
          }}
        />
      )}
      {over.other.value && looking === "mirrored" && (
        <>
          <Slide
            name="turn"
            label={text.bench.over.turn}
            value={over.turn.value}
            low={-180}
            high={180}
            onSlide={(v) => void over.turnTo(v)}
          />
          <p class="quiet small">{text.bench.over.mirroredHint}</p>
        </>
      )}
      {laying.is === "laying" && (
        <>
          <p role="status">
            {text.bench.over.laying} {text.percent(laying.done)}
          </p>
          <button type="button" class="button" data-do="stop-laying" onClick={() => over.stop()}>
            {text.bench.stop}
          </button>
        </>
      )}
      {laying.is === "refused" && (
        <>
          <p class="problem" role="alert" data-part="over-refused" data-why={laying.why}>
            {text.bench.over.refusals[laying.why]}
          </p>
          <button type="button" class="button" data-do="lay-again" onClick={() => void over.lay()}>
            {text.bench.over.again}
          </button>
        </>
      )}
      {fit && laying.is === "laid" && (
        <p role="status" data-part="over-laid" data-degrees={fit.degrees ?? undefined}>
          {fit.degrees === null
            ? text.bench.over.byRims
            : text.bench.over.laid(signed(meanText(fit.degrees, 2 * fit.u)), uncertaintyText(2 * fit.u))}
          {fit.rough && ` ${text.bench.over.rough}`}
        </p>
      )}
    </section>
  );
}

/** A slide with its number. */
export function Slide(props: {
  name: string;
  label: string;
  value: number;
  low: number;
  high: number;
  onSlide(value: number): void;
}) {
  return (
    <label class="slide">
      <span>{props.label}</span>
      <input
        type="range"
        name={props.name}
        min={props.low}
        max={props.high}
        value={props.value}
        onInput={(e) => props.onSlide(Number(e.currentTarget.value))}
      />
      <output class="figures">{props.value}</output>
    </label>
  );
}
