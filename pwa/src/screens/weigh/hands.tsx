import type { AsideCoin } from "../../hands/hands";
import type { Row } from "../../hands/hands-list";
import { text } from "../../text";
import { useApp, useView } from "../../view/context";
import { I, Mark } from "../../view/icons";
import { OnlyHereBar } from "../bars/only-here";
import { WatchBar } from "./hands-pan";
import { Tally } from "./hands-tally";
import { HuntWords } from "./hunt-words";
import { MetalDisc } from "./metal-disc";

/** In the place of the verdict while a sitting goes on: what was said, what was counted, what is set aside. */
export function HandsPanel() {
  return (
    <div class="reading hands">
      <CaptionCard />
      <Tally />
      <AsideList />
      <CountCard />
      <OnlyHereBar />
    </div>
  );
}

/** More characters than this are shown smaller, so that the caption keeps its height. */
const longWords = 75;

/** What was said last, for those who can't or won't hear it; a tap says it again. */
function CaptionCard() {
  const { handsFree, panControl } = useApp();
  const { words, call, kind } = handsFree.caption.value;
  const silent = handsFree.silent.value;
  const other = panControl.state.value;
  return (
    <section
      class="caption"
      aria-label={text.hands.caption}
      data-part="caption"
      data-call={call ?? undefined}
      data-large={handsFree.prefs.captions.value || undefined}
    >
      {other.is === "other" && <p class="problem">{text.hands.paused(other.name)}</p>}
      <button type="button" class="caption-words" data-do="again" onClick={() => handsFree.again()}>
        {kind?.sign ? <MetalDisc of={kind} /> : call && <Mark call={call} />}
        <span>
          {call && <span class="call">{text.call[kind?.noted ? "ordinary" : call]}</span>}
          <span data-part="said" data-long={words.length > longWords || undefined}>
            {words || text.hands.waiting}
          </span>
          <span class="unseen">{text.hands.again}</span>
        </span>
      </button>
      {silent && (
        <p class="quiet caption-note" data-part="silent" data-silent={silent}>
          <I name="soundOff" />
          {text.hands.silent[silent]}
        </p>
      )}
      <AwakeNote />
    </section>
  );
}

function AwakeNote() {
  const { awake, tones } = useApp().handsFree.devices;
  return (
    <>
      {awake.state.value === "unable" && <p class="quiet caption-note">{text.hands.dark}</p>}
      {!tones.able.value && <p class="quiet caption-note">{text.hands.noTones}</p>}
    </>
  );
}

function CountCard() {
  const { handsFree } = useApp();
  const { list } = handsFree;
  const { rows, missed, unseen } = list.counts.value;
  const most = Math.max(1, ...rows.map((r) => r.count));
  const empty = rows.length === 0 && missed === 0 && unseen === 0;
  return (
    <section class="counted" aria-labelledby="counted-title" data-part="counts">
      <div class="hands-head">
        <h2 id="counted-title">{text.hands.countTitle}</h2>
        <p class="figures" data-part="total" data-total={list.total.value}>
          {text.hands.total(list.total.value)}
        </p>
      </div>
      <HuntWords />
      {empty && <p class="quiet">{text.hands.none}</p>}
      <ul class="plain">
        {rows.map((r) => (
          <CountRow key={r.key} r={r} most={most} />
        ))}
      </ul>
      {missed > 0 && <p class="quiet">{text.hands.missed(missed)}</p>}
      {unseen > 0 && <p class="quiet">{text.hands.unseen(unseen)}</p>}
      <p class="acts">
        {!empty && (
          <button type="button" class="button" data-do="reset-counts" onClick={() => list.reset()}>
            {text.hands.reset}
          </button>
        )}
        {list.before.value && (
          <>
            <span>{text.hands.resetDone}</span>
            <button type="button" class="button" data-do="undo-reset" onClick={() => list.undoReset()}>
              {text.hands.undo}
            </button>
          </>
        )}
      </p>
    </section>
  );
}

/** One kind: its mark, its name, how many, and whether its coins are set aside. */
function CountRow({ r, most }: { r: Row; most: number }) {
  const { list } = useApp().handsFree;
  const aside = list.sets(r);
  return (
    <li class="count-row" data-kind={r.key} data-count={r.count} data-call={r.call}>
      <MetalDisc of={r} />
      <span class="count-label">
        {r.label}
        {r.wanted && <span class="tag">{r.wanted}</span>}
        {r.noted && <span class="tag">{text.hands.noted}</span>}
        <span class="count-bar" style={{ inlineSize: `${(100 * r.count) / most}%` }} />
      </span>
      <span class="figures count-number">{r.count}</span>
      <button
        type="button"
        class="icon-button"
        data-do="keep-kind"
        aria-pressed={aside}
        onClick={() => list.choose(r.key, !aside)}
      >
        <I name="aside" />
        <span class="unseen">{text.hands.keepKind(r.label)}</span>
      </button>
    </li>
  );
}

/** What deserves a look, newest first, as numbered when it was said. */
function AsideList() {
  const { handsFree } = useApp();
  const { list } = handsFree;
  const removed = list.removed.value;
  const shown = [...list.aside.value].reverse();
  return (
    <section class="aside" aria-labelledby="aside-title" data-part="aside" data-count={shown.length}>
      <div class="hands-head">
        <h2 id="aside-title">{text.hands.asideTitle}</h2>
        {removed && (
          <button type="button" class="button" data-do="undo-remove" onClick={() => handsFree.undoRemove()}>
            {text.hands.undo}: {text.hands.asideNumber(removed.coin.number)}
          </button>
        )}
      </div>
      {shown.length === 0 && <p class="quiet">{text.hands.asideNone}</p>}
      <ol class="plain">
        {shown.map((coin) => (
          <AsideRow key={coin.id} coin={coin} />
        ))}
      </ol>
    </section>
  );
}

function AsideRow({ coin }: { coin: AsideCoin }) {
  const { handsFree } = useApp();
  const view = useView();
  const words = coin.verdict.headline;
  return (
    <li class="aside-row" data-number={coin.number} data-call={coin.verdict.call}>
      <button
        type="button"
        class="aside-open"
        data-do="open-aside"
        onClick={() => {
          view.aside.value = coin.id;
          view.sheet.value = "aside";
        }}
      >
        <span class="aside-number figures">{coin.number}</span>{" "}
        <span>
          {words}
          {coin.byHand && <span class="quiet aside-note">{text.hands.byHand}</span>}
          {coin.early && <span class="quiet aside-note">{text.hands.early}</span>}
        </span>
      </button>
      <button
        type="button"
        class="icon-button"
        data-do="remove-aside"
        onClick={() => handsFree.remove(coin.id)}
      >
        <I name="close" />
        <span class="unseen">{text.hands.removeLabel(coin.number, words)}</span>
      </button>
    </li>
  );
}

/** Before a sitting: what it does, and the one tap it needs. */
export function HandsStart() {
  const app = useApp();
  const view = useView();
  const d = app.denomination.value;
  return (
    <section class="verdict hands-start" aria-labelledby="hands-start-title" data-part="hands-start">
      <h2 id="hands-start-title">{text.hands.title}</h2>
      <p>{text.hands.beginHint}</p>
      {!d && <p>{text.hands.pick}</p>}
      <p class="acts">
        {d && (
          <button type="button" class="button strong" data-do="begin-hands" onClick={() => app.beginHands()}>
            {text.hands.begin(d.name)}
          </button>
        )}
        <button
          type="button"
          class="button"
          onClick={() => {
            view.sheet.value = "hands-options";
          }}
        >
          {text.hands.options}
        </button>
        <button
          type="button"
          class="button"
          onClick={() => {
            app.handsFree.offered.value = false;
          }}
        >
          {text.nav.close}
        </button>
      </p>
    </section>
  );
}

/** Under the thumb in a sitting. */
export function HandsDock() {
  const app = useApp();
  const view = useView();
  const { handsFree } = app;
  const mute = handsFree.prefs.mute.value;
  const d = app.denomination.value;
  return (
    <div class="dock hands-dock">
      <WatchBar />
      {app.panControl.state.value.is !== "other" && (
        <div class="date-line">
          <button
            type="button"
            class="field-button hands-denomination"
            data-do="more"
            onClick={() => {
              view.sheet.value = "denominations";
            }}
          >
            {text.hands.change(d?.name ?? "")}
          </button>
          <button
            type="button"
            class="icon-button"
            data-do="hands-options"
            onClick={() => {
              view.sheet.value = "hands-options";
            }}
          >
            <I name="settings" />
            <span class="unseen">{text.hands.options}</span>
          </button>
        </div>
      )}
      <div class="hands-keys">
        <button type="button" class="hands-key" data-do="set-aside" onClick={() => handsFree.setAside()}>
          <I name="aside" />
          <span>{text.hands.aside}</span>
        </button>
        <button type="button" class="hands-key" data-do="take-back" onClick={() => handsFree.takeBack()}>
          <I name="takeBack" />
          <span>{text.hands.takeBack}</span>
        </button>
        <button
          type="button"
          class="hands-key"
          data-do="mute"
          aria-pressed={mute}
          onClick={() => handsFree.toggleMute()}
        >
          <I name={mute ? "soundOff" : "soundOn"} />
          <span>{mute ? text.hands.unmute : text.hands.mute}</span>
        </button>
        <button type="button" class="hands-key" data-do="end-hands" onClick={() => handsFree.end()}>
          <I name="stop" />
          <span>{text.hands.end}</span>
        </button>
      </div>
    </div>
  );
}
