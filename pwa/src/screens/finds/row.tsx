import { useSignal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import type { Find } from "../../core/journal";
import { text } from "../../text";
import { I } from "../../view/icons";
import { CallBadge } from "./call-badge";
import { useRecords } from "./use";
import { callOf, dayWords, kindName, type Names, titleWords, weightWords, wordFor } from "./words";

/** A small picture, fetched when it comes into sight. */
export function Thumb({ sha256, words }: { sha256: string | undefined; words: string }) {
  const records = useRecords();
  const address = useSignal<string | null>(null);
  const place = useRef<HTMLSpanElement>(null);
  useEffect(() => {
    const el = place.current;
    if (!sha256 || !el) return;
    let gone = false;
    const seen = new IntersectionObserver((entries) => {
      if (!entries.some((e) => e.isIntersecting)) return;
      seen.disconnect();
      void records.shelf.thumb(sha256).then((a) => {
        if (!gone) address.value = a;
      });
    });
    seen.observe(el);
    return () => {
      gone = true;
      seen.disconnect();
    };
  }, [records, sha256, address]);
  return (
    <span class="thumb" ref={place} data-photo={sha256}>
      {address.value ? <img src={address.value} alt={words} /> : <I name={sha256 ? "camera" : "finds"} />}
    </span>
  );
}

/** One find of a list. */
export function FindRow({ find, names, chosen }: { find: Find; names: Names; chosen: boolean }) {
  const records = useRecords();
  const onlyHere = records.journal.unsentRecords.value.has(find.record);
  const more = [
    kindName(names.key, find.kind),
    wordFor(text.finds.fates, find.fate),
    find.lies?.label ?? "",
  ].filter(Boolean);
  // A row of which nothing is said yet is told from the next by its day.
  if (more.length === 0) more.push(dayWords(find.found));
  const { title, coin } = titleWords(find, names.countries);
  return (
    <a
      class="find-row"
      href={`#/finds/${find.record}`}
      data-find={find.record}
      aria-current={chosen ? "true" : undefined}
    >
      <Thumb sha256={find.photos[0]?.sha256} words="" />
      <span class="find-row-words">
        <span class="find-row-name">{title}</span>
        <span class="quiet figures">{[coin, weightWords(find), ...more].filter(Boolean).join(" · ")}</span>
        {find.note && <span class="quiet find-row-note">{find.note}</span>}
      </span>
      <span class="find-row-tags">
        <CallBadge call={callOf(find)} />
        {find.conflicts.length > 0 && <span class="tag warn">{text.finds.tagConflict}</span>}
        {onlyHere && <span class="tag">{text.finds.tagOnlyHere}</span>}
        {find.deleted && <span class="tag">{text.finds.tagDeleted}</span>}
      </span>
    </a>
  );
}
