import { useSignal } from "@preact/signals";
import type { ComponentChildren } from "preact";
import { useEffect, useLayoutEffect, useMemo, useRef } from "preact/hooks";
import type { Bench } from "../../bench/bench";
import { CloseUp } from "../../bench/close-up";
import { Hints } from "../../bench/hints";
import type { RulerPhoto } from "../../bench/lens";
import type { Face } from "../../bench/lit";
import { Mat } from "../../bench/mat";
import { Over } from "../../bench/over";
import { SideLight } from "../../bench/side-light";
import { SidesTurn } from "../../bench/sides";
import type { CoinOf } from "../../core/journal";
import { openPhoto } from "../../records/photos-open";
import { text } from "../../text";
import { ChoosePhoto } from "./choose-photo";
import { CloseUpPanel } from "./close-up-panel";
import { type HintParts, NoHints } from "./hints-panel";
import { HintsView } from "./hints-view";
import { LightPanel, LightView } from "./light-panel";
import { MatPanel } from "./mat-panel";
import { MatView } from "./mat-view";
import { GlassButtons, OnPicture } from "./on-picture";
import { type Candidate, OverPanel, OverView } from "./over-view";
import { usePictures } from "./page";
import { type BookSize, RimPanel } from "./rim-panel";
import { RulerPanel } from "./ruler-panel";
import { RulerPhotoView } from "./ruler-photo";
import { SidesPanel } from "./sides-panel";
import { SidesView } from "./sides-view";
import { type Step, Steps } from "./steps";
import { pictureOf } from "./use-bench";

/** A picture and what is done with it; a find's page says what can be kept. */
export function BenchBody(props: {
  bench: Bench;
  size: BookSize | null;
  candidates?: readonly Candidate[];
  /** It is known to show a part of the coin. */
  part?: boolean;
  rimMore?: ComponentChildren;
  rulers?: ComponentChildren;
  overMore?: ComponentChildren;
  lightMore?: (light: SideLight) => ComponentChildren;
  hints?: (parts: HintParts) => ComponentChildren;
  coin?: CoinOf | undefined;
  /** Which side the picture shows, where that is known. */
  face?: Face | undefined;
  sidesMore?: (sides: SidesTurn) => ComponentChildren;
}) {
  const { bench } = props;
  const pictures = usePictures();
  const step = useSignal<Step>("rim");
  const over = useMemo(() => new Over(bench, pictures), [bench, pictures]);
  const light = useMemo(() => new SideLight(pictures), [pictures]);
  const hints = useMemo(() => new Hints(pictures, light), [pictures, light]);
  const sides = useMemo(() => new SidesTurn(bench, pictures, props.face), [bench, pictures, props.face]);
  const mat = useMemo(() => new Mat(bench.picture, pictures), [bench, pictures]);
  const closeUp = useMemo(() => new CloseUp(bench, pictures), [bench, pictures]);
  const ruler = useSignal<RulerPhoto | null>(null);
  const wholes = useMemo(
    () => (props.candidates ?? []).filter((c) => c.whole).map((c) => c.load),
    [props.candidates],
  );
  const chosen = useSignal(0);
  useEffect(() => () => over.end(), [over]);
  useEffect(() => () => hints.end(), [hints]);
  useEffect(() => () => sides.end(), [sides]);
  useEffect(() => () => mat.end(), [mat]);
  useEffect(() => () => closeUp.end(), [closeUp]);
  const said = props.size?.mm ?? null;
  useLayoutEffect(() => {
    // Whichever step is open by then: a ruler may be picked before the book has said it.
    if (said !== null) bench.diameter.value = said;
  }, [bench, said]);
  const at = step.value;
  const here = useRef<HTMLDivElement>(null);
  const panel = useRef<HTMLDivElement>(null);
  const pickStep = (s: Step) => {
    step.value = s;
    // On a phone little of the panel shows below picture and steps; the page's head makes room for it.
    const top = panel.current?.getBoundingClientRect().top ?? 0;
    if (top > innerHeight / 3) here.current?.scrollIntoView({ block: "start" });
  };
  const closeUpPanel = (
    <CloseUpPanel bench={bench} closeUp={closeUp} wholes={wholes} known={props.part ?? false} ruler={ruler} />
  );
  return (
    <div class="bench" data-step={at} ref={here}>
      {at === "rim" && ruler.value ? (
        <RulerPhotoView ruler={ruler.value} />
      ) : at === "rim" || at === "ruler" ? (
        <OnPicture bench={bench} holding={at} />
      ) : at === "sides" ? (
        <div class="bench-picture">
          <SidesView sides={sides} />
        </div>
      ) : (
        <div class="bench-picture">
          {at === "over" && <OverView bench={bench} over={over} />}
          {at === "light" && <LightView bench={bench} light={light} />}
          {at === "hints" && <HintsView bench={bench} light={light} hints={hints} />}
          {at === "mat" && <MatView bench={bench} mat={mat} />}
          <GlassButtons
            zoom={bench.zoom}
            work={at === "mat" ? mat.work : at === "hints" ? hints.work : bench.work}
          />
        </div>
      )}
      <div class="bench-panel" ref={panel}>
        <Steps step={at} onPick={pickStep} />
        {at === "rim" && (
          <>
            {props.part && closeUpPanel}
            <RimPanel bench={bench} size={props.size} />
            {!props.part && closeUpPanel}
            {props.rimMore}
          </>
        )}
        {at === "ruler" && (props.rulers ?? <RulerPanel bench={bench} />)}
        {at === "over" && (
          <>
            <OverPanel over={over} candidates={props.candidates ?? []}>
              <ChoosePhoto
                words={text.bench.choose}
                onFile={async (file) => {
                  const photo = await openPhoto(file);
                  await over.take(pictureOf(`chosen ${++chosen.value}`, photo), null);
                }}
              />
            </OverPanel>
            {props.overMore}
          </>
        )}
        {at === "light" && (
          <>
            <LightPanel light={light} />
            {props.lightMore?.(light)}
          </>
        )}
        {at === "hints" &&
          (props.hints?.({
            bench,
            light,
            hints,
            toLight: () => pickStep("light"),
          }) ?? <NoHints words={text.hints.noFind} />)}
        {at === "sides" && (
          <SidesPanel
            sides={sides}
            coin={props.coin}
            candidates={props.candidates ?? []}
            choose={
              <ChoosePhoto
                words={text.bench.choose}
                onFile={async (file) => {
                  const photo = await openPhoto(file);
                  await sides.take(pictureOf(`chosen ${++chosen.value}`, photo), null);
                }}
              />
            }
          >
            {props.sidesMore?.(sides)}
          </SidesPanel>
        )}
        {at === "mat" && <MatPanel mat={mat} />}
      </div>
    </div>
  );
}
