import { useSignal } from "@preact/signals";
import type { ComponentChildren } from "preact";
import { useEffect } from "preact/hooks";
import { type Face, faces, otherFace } from "../../bench/lit";
import { lineAlongs, type SidesTurn, turnHands, turnWays } from "../../bench/sides";
import type { CoinOf } from "../../core/journal";
import { text } from "../../text";
import { Chips } from "../form/controls";
import { meanText, uncertaintyText } from "../weigh/figures";
import { type Candidate, Candidates } from "./over-view";

/** From here on it is nearer to half a turn than any die that is out of line, degrees. */
const nearHalf = 165;

/** Leads from two photos to the angle between the sides. */
export function SidesPanel(props: {
  sides: SidesTurn;
  coin: CoinOf | undefined;
  candidates: readonly Candidate[];
  /** Another way to a photo of the other side. */
  choose: ComponentChildren;
  /** What can be done with the angle. */
  children?: ComponentChildren;
}) {
  const { sides, coin } = props;
  const key = JSON.stringify([coin?.country, coin?.denomination, coin?.year]);
  useEffect(() => void sides.ofCoin(coin), [sides, key]);
  const face = sides.shown.value;
  const doing = sides.doing.value;
  const both = sides.other.value !== null;
  const how = <TurnedOver sides={sides} known={coin !== undefined} />;
  return (
    <section class="card" data-part="sides-panel" data-state={doing.is} data-shown={face}>
      {both ? (
        <Told sides={sides} />
      ) : (
        <>
          <p class="quiet small">{text.sides.hint}</p>
          {how}
        </>
      )}
      {props.children}
      <SideList sides={sides} />
      {doing.is === "working" && (
        <>
          <p role="status">
            {text.sides.working} {text.percent(doing.done)}
          </p>
          <button type="button" class="button" data-do="stop-sides" onClick={() => sides.stop()}>
            {text.bench.stop}
          </button>
        </>
      )}
      {doing.is === "refused" && (
        <>
          <p class="problem" role="alert" data-part="sides-refused" data-why={doing.why}>
            {text.sides.faces[doing.face]}: {text.bench.over.refusals[doing.why]}
          </p>
          {doing.face !== sides.here.value && !sides.otherRim.value && (
            <button type="button" class="button" data-do="seek-other" onClick={() => void sides.seekAgain()}>
              {text.sides.again}
            </button>
          )}
        </>
      )}
      {sides.pictureOf(face) ? (
        <LineOf sides={sides} face={face} references={props.candidates.filter((c) => c.reference === face)} />
      ) : (
        <OtherPhoto {...props} face={face} />
      )}
      {both && (
        <>
          {how}
          <OtherPhoto {...props} face={otherFace(sides.here.value)} />
        </>
      )}
    </section>
  );
}

/** How such coins turn, and how this one was turned over. */
function TurnedOver({ sides, known }: { sides: SidesTurn; known: boolean }) {
  const struck = sides.struck.value;
  const over = sides.over.value;
  return (
    <>
      {sides.sure.value && struck ? (
        <p data-part="struck" data-way={struck}>
          {text.sides.struck[struck]} <span class="quiet small">{text.sides.struckBy}</span>
        </p>
      ) : (
        <>
          <Chips
            name="struck"
            label={text.sides.which}
            value={struck ?? undefined}
            options={turnWays}
            words={text.sides.ways}
            onPick={(way) => {
              sides.struck.value = way ?? struck;
            }}
          />
          <p class="quiet small">{known ? text.sides.notSure : text.sides.notKnown}</p>
        </>
      )}
      {over && (
        <>
          <Chips
            name="over"
            label={text.sides.turned}
            value={over}
            options={turnWays}
            words={text.sides.ways}
            onPick={(way) => {
              sides.turned.value = way ?? over;
            }}
          />
          <Chips
            name="by"
            label={text.sides.hand}
            value={sides.by.value}
            options={turnHands}
            words={text.sides.hands}
            onPick={(by) => {
              sides.by.value = by ?? sides.by.peek();
            }}
          />
          <p class="quiet small">{text.sides.lead[over]}</p>
        </>
      )}
    </>
  );
}

/** Both sides, to be brought onto the glass, with how far each is. */
function SideList({ sides }: { sides: SidesTurn }) {
  const stands = (face: Face): string => {
    const line = sides.lineOf(face);
    if (!sides.pictureOf(face)) return text.sides.missing;
    return line?.by ? text.sides.byReference : line?.laid ? text.sides.laid : text.sides.unlaid;
  };
  return (
    <>
      <div class="side-list" role="group" aria-label={text.sides.pictures}>
        {faces.map((face) => (
          <button
            key={face}
            type="button"
            class="chip-button"
            data-face={face}
            data-laid={sides.lineOf(face)?.laid || undefined}
            aria-pressed={sides.shown.value === face}
            onClick={() => {
              sides.shown.value = face;
            }}
          >
            <span>{text.sides.faces[face]}</span>
            <span class="small">{stands(face)}</span>
          </button>
        ))}
      </div>
      <button type="button" class="quiet-button" data-do="swap-sides" onClick={() => sides.swap()}>
        {text.sides.swap}
      </button>
    </>
  );
}

function OtherPhoto(props: {
  sides: SidesTurn;
  face: Face;
  candidates: readonly Candidate[];
  choose: ComponentChildren;
}) {
  const { sides, face } = props;
  const gone = useSignal(false);
  const photos = props.candidates.filter((c) => !c.reference);
  const pick = async (c: Candidate) => {
    gone.value = false;
    const loaded = await c.load().catch(() => null);
    gone.value = !loaded;
    if (loaded) await sides.take(loaded.picture, loaded.rim);
  };
  return (
    <>
      <p>{photos.length > 0 ? text.sides.other[face] : text.sides.noOther}</p>
      <Candidates label={text.sides.other[face]} all={photos} onPick={(c) => void pick(c)}>
        {props.choose}
      </Candidates>
      {gone.value && <p class="problem">{text.bench.photoGone}</p>}
    </>
  );
}

/** What the line of the side on the glass follows, and what else can lay it. */
function LineOf(props: { sides: SidesTurn; face: Face; references: readonly Candidate[] }) {
  const { sides, face } = props;
  const line = sides.lineOf(face);
  const gone = useSignal(false);
  const refused = sides.doing.value.is === "refused" || sides.doing.value.is === "working";
  if (!line) {
    return refused ? null : <p class="problem">{text.bench.over.refusals["no-rim"]}</p>;
  }
  const by = async (c: Candidate) => {
    gone.value = false;
    const loaded = await c.load().catch(() => null);
    gone.value = !loaded;
    if (loaded) await sides.byReference(face, { ...loaded, level: loaded.level ?? null });
  };
  return (
    <>
      <Chips
        name="along"
        label={text.sides.along}
        value={line.along}
        options={lineAlongs}
        words={text.sides.alongs}
        onPick={(along) => sides.runs(face, along ?? line.along)}
      />
      <p class="quiet small">{text.sides.alongHints[line.along]}</p>
      <div class="row">
        {!line.laid && (
          <button type="button" class="button" data-do="affirm-line" onClick={() => sides.affirm(face)}>
            {text.sides.affirm}
          </button>
        )}
        {props.references.map((c) => (
          <button
            key={c.id}
            type="button"
            class="button"
            data-do="line-by-reference"
            onClick={() => void by(c)}
          >
            {text.sides.reference}
          </button>
        ))}
      </div>
      {gone.value && <p class="problem">{text.bench.photoGone}</p>}
      {line.by?.some((t) => !("u" in t)) && (
        <p class="quiet small" data-part="reference-upright">
          {text.sides.referenceUpright}
        </p>
      )}
    </>
  );
}

function Told({ sides }: { sides: SidesTurn }) {
  const says = sides.says.value;
  if (!says) {
    return <p class="quiet">{text.sides.waits}</p>;
  }
  const { degrees, u, call } = says;
  const shown = meanText(Math.abs(degrees), 2 * u);
  const half = Math.abs(degrees) > nearHalf;
  const sense = degrees > 0 ? "counterclockwise" : "clockwise";
  return (
    <div
      role="status"
      data-part="sides-told"
      data-degrees={degrees.toFixed(2)}
      data-u={u.toFixed(2)}
      data-call={call}
    >
      <p class="side-angle">
        <span>{text.sides.between}</span>{" "}
        <strong class="figures">{text.sides.told(shown, uncertaintyText(2 * u))}</strong>
      </p>
      {Number(shown) > 0 && call !== "ordinary" && <p>{text.sides.senses[sense]}</p>}
      <p>{text.sides.calls[call]}</p>
      {half && <p class="problem">{text.sides.half}</p>}
      <p class="quiet small">{text.sides.about95}</p>
    </div>
  );
}
