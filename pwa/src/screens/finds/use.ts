import { type Signal, useSignal } from "@preact/signals";
import { createContext } from "preact";
import { useContext, useEffect, useMemo } from "preact/hooks";
import type { FindsDoor, Trouble } from "../../app/finds-door";
import { troubleOf } from "../../app/finds-door";
import type { Detail } from "../../core/journal";
import { type IdentificationKey, readKey } from "../../core/key";
import { OwnWrites } from "../../records/own-writes";
import { useApp } from "../../view/context";
import { huntName } from "./hunt-name";
import type { Names } from "./words";

/** The door to finds and hunts, once it is open. */
export const DoorContext = createContext<FindsDoor | null>(null);

export function useDoor(): FindsDoor {
  const door = useContext(DoorContext);
  if (!door) throw new Error("a record’s screen outside the records");
  return door;
}

/** What is shown of something read from the notebook; the old stays until the new is there. */
export type Read<T> = { is: "reading" } | { is: "failed"; trouble: Trouble } | { is: "read"; value: T };

/** Reads from the notebook, and again whenever it has changed. */
export function useRead<T>(read: (door: FindsDoor) => Promise<T>, of: unknown[]): Signal<Read<T>> {
  const door = useDoor();
  const state = useSignal<Read<T>>({ is: "reading" });
  const changed = door.journal.changed.value;
  useEffect(() => {
    let gone = false;
    read(door).then(
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
  }, [door, changed, ...of]);
  return state;
}

export const useRecord = (record: string): Signal<Read<Detail>> =>
  useRead((door) => door.journal.record(record), [record]);

/** What the screen of a record writes of it. */
export const useOwnWrites = (record: string): OwnWrites => useMemo(() => new OwnWrites(), [record]);

/** The names of kinds, from the identification key. */
export function useKey(): IdentificationKey | null {
  const app = useApp();
  const key = useSignal<IdentificationKey | null>(null);
  const waiting = app.judge.value === "waiting";
  useEffect(() => {
    if (key.peek()) return;
    void app.core.call("key", {}).then((answer) => {
      if ("ok" in answer) key.value = readKey(answer.ok);
    });
  }, [app, waiting, key]);
  return key.value;
}

export function useNames(): Names {
  const app = useApp();
  const door = useDoor();
  const key = useKey();
  const countries = app.catalogue.countries.value;
  const hunts = door.allHunts.value;
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
