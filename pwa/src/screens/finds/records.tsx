import { useEffect } from "preact/hooks";
import type { FindsDoor } from "../../app/finds-door";
import { text } from "../../text";
import { useApp } from "../../view/context";
import type { RecordPlace } from "../../view/places";
import { HuntPage } from "../hunts/hunt";
import { HuntsList } from "../hunts/list";
import { TroubleWords } from "../weigh/trouble-words";
import { FindPage } from "./find";
import { FindsList } from "./list";
import { useListPlace } from "./list-place";
import { PhotoPage } from "./photo-page";
import { UndoBar } from "./undo-bar";
import { DoorContext, useWide } from "./use";
import "./finds.css";

/** The lists of finds and hunts and a page for each; beside each other where there is room. */
export function RecordsScreen({ at }: { at: { at: RecordPlace; rest: string[] } }) {
  const door = useApp().finds.value;
  useEffect(() => {
    document.title = `${text.finds[at.at === "finds" ? "title" : "hunts"]} – ${text.appName}`;
    return () => {
      document.title = text.appName;
    };
  }, [at.at]);
  if (!door) return <main class="tool-page quiet">{text.finds.loading}</main>;
  return (
    <DoorContext.Provider value={door}>
      <Records door={door} at={at} />
    </DoorContext.Provider>
  );
}

function Records({ door, at }: { door: FindsDoor; at: { at: RecordPlace; rest: string[] } }) {
  const wide = useWide();
  const [id = "", photo = ""] = at.rest;
  const ready = door.ready.value;
  const listPlace = useListPlace();
  useEffect(
    () => () => {
      listPlace.value = {}; // from elsewhere one comes to the newest finds
    },
    [listPlace],
  );
  const finds = at.at === "finds";
  const page = finds ? (
    photo ? (
      <PhotoPage key={photo} record={id} sha256={photo} />
    ) : (
      <FindPage key={id} record={id} />
    )
  ) : (
    <HuntPage key={id} record={id} />
  );
  return (
    <main class="records" data-screen={at.at} data-wide={wide || undefined}>
      {ready === "opening" && (
        <p class="quiet records-state" role="status">
          {text.finds.opening}
        </p>
      )}
      {ready !== "opening" && ready !== "ready" && (
        <div class="records-state">
          <TroubleWords trouble={ready} />
          <button type="button" class="button" onClick={() => void door.open()}>
            {text.finds.retry}
          </button>
        </div>
      )}
      {ready === "ready" && (
        <>
          {(wide || !id) && (
            <div class="records-list">{finds ? <FindsList chosen={id} /> : <HuntsList chosen={id} />}</div>
          )}
          {id && (
            <div class="records-page">
              {!wide && <h1 class="unseen">{finds ? text.finds.title : text.finds.hunts}</h1>}
              {page}
            </div>
          )}
          {wide && !id && (
            <div class="records-page records-choose quiet">
              {finds ? text.finds.choose : text.hunts.choose}
            </div>
          )}
        </>
      )}
      <UndoBar />
    </main>
  );
}
