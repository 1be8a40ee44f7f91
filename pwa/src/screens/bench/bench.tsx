import { useEffect, useMemo } from "preact/hooks";
import { Pictures, type PicturesWorker } from "../../senses/pictures";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { RecordsContext } from "../finds/use";
import { toWeighing } from "../tools/page";
import "./bench.css";
import { DialPage, dialPlace } from "./dial-page";
import { FindBench } from "./find-bench";
import { LooseBench } from "./loose-bench";
import { BenchPage, PicturesContext } from "./page";

const startWorker = () =>
  new Worker(new URL("../../senses/pictures.worker.ts", import.meta.url), {
    type: "module",
  }) as PicturesWorker;

/** The second look: at a find's photo, whose record and hash the address names, or at any picture. */
export function SecondLookScreen({ rest }: { rest: string }) {
  const app = useApp();
  const pictures = useMemo(() => new Pictures(startWorker), []);
  useEffect(() => () => pictures.end(), [pictures]);
  const [record = "", photo = ""] = rest.split("/");
  const records = app.records.value;
  const ready = records?.ready.value;
  return (
    <PicturesContext.Provider value={pictures}>
      {record === dialPlace ? (
        <DialPage />
      ) : !record ? (
        <BenchPage back={toWeighing()}>
          <LooseBench />
        </BenchPage>
      ) : (
        <BenchPage back={{ href: `#/finds/${record}`, words: text.bench.backToFind }}>
          {records && ready === "ready" ? (
            <RecordsContext.Provider value={records}>
              <FindBench key={`${record}/${photo}`} record={record} photo={photo} />
            </RecordsContext.Provider>
          ) : (
            <p class="quiet" role="status">
              {text.bench.loading}
            </p>
          )}
        </BenchPage>
      )}
    </PicturesContext.Provider>
  );
}
