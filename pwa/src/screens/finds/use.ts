import { type Signal, useSignal } from "@preact/signals";
import { createContext } from "preact";
import { useContext, useEffect, useMemo, useRef } from "preact/hooks";
import type { RecordsController } from "../../app/records";
import { type IdentificationKey, readKey } from "../../core/identification";
import type { Detail } from "../../core/journal";
import { PendingEdits } from "../../records/pending-edits";
import { type Trouble, troubleOf } from "../../records/trouble";
import { useApp } from "../../view/context";
import { huntName } from "./hunt-name";
import type { Names } from "./words";

/** Finds and hunts, once it is open. */
export const RecordsContext = createContext<RecordsController | null>(null);

export function useRecords(): RecordsController {
  const records = useContext(RecordsContext);
  if (!records) throw new Error("a record’s screen outside the records");
  return records;
}

/** What is shown of something read from the notebook; the old stays until the new is there. */
export type Read<T> = { is: "reading" } | { is: "failed"; trouble: Trouble } | { is: "read"; value: T };

/** Reads from the notebook, and again whenever it has changed. */
export function useRead<T>(read: (records: RecordsController) => Promise<T>, of: unknown[]): Signal<Read<T>> {
  const records = useRecords();
  const state = useSignal<Read<T>>({ is: "reading" });
  const changed = records.journal.changed.value;
  useEffect(() => {
    let gone = false;
    read(records).then(
      (value) => {
        if (!gone) state.value = { is: "read", value };
      },
      (cause) => {
        if (!gone) state.value = { is: "failed", trouble: troubleOf(cause) };
      },
    );
    return () => {
      gone = true;
    };
  }, [records, changed, ...of]);
  return state;
}

export const useRecord = (record: string): Signal<Read<Detail>> =>
  useRead((records) => records.journal.record(record), [record]);

/** What the screen of a record writes of it. */
export const usePendingEdits = (record: string): PendingEdits => useMemo(() => new PendingEdits(), [record]);

/** The names of kinds, from the identification key. */
export function useKey(): IdentificationKey | null {
  const app = useApp();
  const key = useSignal<IdentificationKey | null>(null);
  const waiting = app.coreHost.value === "waiting";
  const language = app.core.language.value;
  const had = useRef("");
  useEffect(() => {
    if (had.current === language) return;
    void app.core.call("key", {}).then((answer) => {
      if (!("ok" in answer)) return;
      had.current = language;
      key.value = readKey(answer.ok);
    });
  }, [app, waiting, key, language]);
  return key.value;
}

export function useNames(): Names {
  const app = useApp();
  const records = useRecords();
  const key = useKey();
  const countries = app.catalogue.countries.value;
  const hunts = records.going.all.value;
  return useMemo(
    () => ({
      countries,
      key,
      hunt: (record: string) => {
        const h = hunts.find((x) => x.record === record);
        return h ? huntName(h) : record;
      },
    }),
    [countries, key, hunts],
  );
}

/** Whether this is the laptop’s own page and no phone. */
export function useOnDesk(): boolean {
  const state = useApp().session.state.value;
  return state.at === "joined" && state.device.role === "desk";
}

/** Whether the screen has room for the list and a record beside each other. */
export function useWide(): boolean {
  const wide = useSignal(false);
  useEffect(() => {
    const query = matchMedia("(min-width: 60em)");
    const see = () => {
      wide.value = query.matches;
    };
    see();
    query.addEventListener("change", see);
    return () => query.removeEventListener("change", see);
  }, [wide]);
  return wide.value;
}
