import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { betweenOf, keptBetween, keptRim, levelIn } from "../../bench/keep";
import { type Face, faces, otherFace } from "../../bench/lit";
import { asLevel, type SidesTurn, type Turn } from "../../bench/sides";
import { ownName } from "../../bench/work";
import type { CoinOf, Find } from "../../core/journal";
import { readSheet } from "../../core/read";
import type { LookFor } from "../../core/types";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { type OnFind, useSave } from "./on-find";

/** The kind of look-for, by the book's word. */
const rotated = "rotated-dies";

/** How a rim came about that nobody set. */
const found = { by: "found", covered: 1 } as const;

/** Keeps the angle between the sides with the find, and leads to what the book says of turned dies. */
export function KeepSides(props: OnFind & { sides: SidesTurn }) {
  const { find, bench, photo, sides } = props;
  const save = useSave(props);
  const other = sides.other.value?.name ?? "";
  const here = sides.here.value;
  const photos = { [here]: photo, [otherFace(here)]: other } as Record<Face, string>;
  const kept = betweenOf(find.measures, photos);
  useKeptLines(find, photo, sides);
  const says = sides.says.value;
  const look = useLookFor(find.coin);
  const own = find.photos.some((p) => p.sha256 === other);
  const keep = async () => {
    const levels = levelsOf(sides);
    if (!says || !levels) return;
    // The angle with both rims: one without them would be a number from nowhere.
    const mm = bench.diameter.peek();
    const mine = bench.work.now.peek().rim;
    const theirs = sides.otherRim.peek();
    await save({
      ...(mine && { [`rim/${photo}`]: keptRim(mine, mm) }),
      ...(theirs && !find.rims?.[other] && { [`rim/${other}`]: keptRim({ ...theirs, ...found }, mm) }),
      [`measure/${kept?.[0] ?? ownName()}`]: keptBetween(photos, levels, says, Date.now()),
    });
  };
  if (!says) return null;
  return (
    <>
      {!own ? (
        <p class="quiet">{text.sides.keepNeeds}</p>
      ) : kept && same(kept[1], says) ? (
        <p class="tag" data-part="sides-kept">
          {text.sides.kept}
        </p>
      ) : (
        <button type="button" class="button wide" data-do="keep-sides" onClick={() => void keep()}>
          {text.sides.keep}
        </button>
      )}
      {look && says.call !== "ordinary" && (
        <div data-part="sides-look" data-kind={look.kind}>
          <p>
            <strong>
              {text.sides.lookFor}: {look.name}
            </strong>
          </p>
          <p>{look.appearance}</p>
          <p class="quiet small">{look.deciding_sign}</p>
          {find.kind === rotated ? (
            <p class="tag">{text.sides.noted(look.name)}</p>
          ) : (
            <button
              type="button"
              class="button"
              data-do="note-kind"
              onClick={() => void save({ kind: rotated })}
            >
              {text.sides.note(look.name)}
            </button>
          )}
        </div>
      )}
    </>
  );
}

const same = (kept: { value: number; u: number }, says: Turn): boolean =>
  Math.abs(kept.value - says.degrees) < 1e-3 && Math.abs(kept.u - says.u) < 1e-3;

/** What the angle follows from: each side's line as a level one. */
function levelsOf(sides: SidesTurn) {
  const [obverse, reverse] = faces.map((face) => {
    const line = sides.lineOf(face);
    const rim = sides.pictureOf(face)?.rim;
    return line && rim && asLevel(rim, line);
  });
  return obverse && reverse ? { obverse, reverse } : null;
}

/** Lays the lines that were kept with the find, where none was laid yet. */
function useKeptLines(find: Find, photo: string, sides: SidesTurn): void {
  const other = sides.other.value?.name ?? "";
  useEffect(() => {
    const here = sides.here.peek();
    for (const [face, sha256] of [
      [here, photo],
      [otherFace(here), other],
    ] as const) {
      const level = sha256 ? levelIn(find.measures, sha256) : null;
      if (level && !sides.lines.now.peek()[face]) sides.keptLine(face, level);
    }
  }, [photo, other, sides]);
}

/** What the book says of turned dies on such a coin; null where it says nothing. */
function useLookFor(coin: CoinOf | undefined): LookFor | null {
  const app = useApp();
  const found = useSignal<LookFor | null>(null);
  const { country = "", denomination = "", year = 0, mint = "" } = coin ?? {};
  const language = app.core.language.value;
  useEffect(() => {
    let gone = false;
    if (!denomination) return;
    void app.core.call("look", { country, denomination, year, mint, hint: "" }).then((answer) => {
      if (gone || !("ok" in answer)) return;
      const all = readSheet(answer.ok).look.filter((l) => l.kind === rotated);
      // What is said of this coin before what is said of any.
      found.value = all.find((l) => l.scope !== "any") ?? all[0] ?? null;
    });
    return () => {
      gone = true;
    };
  }, [app, country, denomination, year, mint, found, language]);
  return found.value;
}
