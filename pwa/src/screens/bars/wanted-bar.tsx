import type { WantedPhoto } from "../../core/sync";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { I } from "../../view/icons";

/** One sentence over photos that the laptop has lost: the worst that is to be said of any. */
export function wantedWords(list: readonly WantedPhoto[], onDesk: boolean): string {
  const n = list.length;
  const whys = new Set(list.map((w) => w.why));
  const s = text.wanted.sentence;
  const nobody = list.filter((w) => !w.here && w.waiting_for.length === 0);
  if (nobody.length > 0) return s.nobody(nobody.length, new Set(nobody.map((w) => w.why)));
  return list.every((w) => w.here) ? s.here(n, whys, onDesk) : s.asked(n, whys);
}

/** What is here and on its way for the first time is said by what is only here. */
export const lostOf = (list: readonly WantedPhoto[]): WantedPhoto[] =>
  list.filter((w) => !(w.here && w.why === "absent"));

/** Says on every screen that the laptop has lost photos, until it has them again. */
export function WantedBar() {
  const { records, session } = useApp();
  const state = session.state.value;
  const list = lostOf(records.value?.sync.wanted.value ?? []);
  if (list.length === 0) return null;
  return (
    <aside aria-label={text.wanted.label}>
      <a class="only-here" href="#/finds" data-part="wanted" data-n={list.length}>
        <I name="warning" />
        <span>{wantedWords(list, state.at === "joined" && state.device.role === "desk")}</span>
      </a>
    </aside>
  );
}
