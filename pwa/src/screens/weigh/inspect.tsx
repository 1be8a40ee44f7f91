import { useSignal } from "@preact/signals";
import type { Caution, LookFor, Sheet } from "../../core/types";
import { text } from "../../text";
import { figure } from "../../text/writing";
import { useApp, useView } from "../../view/context";
import { I, type IconName, isIconName } from "../../view/icons";
import { partIds } from "../../view/keyboard";
import { Drawings } from "./drawing";
import { langOf, placeOf, rarityWords } from "./look-words";

/** How many points stand there before “show more”, where the core doesn't say which come first. */
const firstPoints = 8;

/** What to inspect next, in the core's order. */
export function InspectList() {
  const app = useApp();
  const view = app.catalogue.sheet.value;
  return (
    <section
      class="inspect"
      id={partIds.inspect}
      tabIndex={-1}
      aria-labelledby="inspect-title"
      data-part="inspect"
    >
      <div class="inspect-head">
        <h2 id="inspect-title">{text.inspect.title}</h2>
        {view.is === "sheet" && view.sheet.look.length > 0 && (
          <span class="quiet">{text.inspect.count(view.sheet.look.length)}</span>
        )}
      </div>
      {view.is === "none" && <p class="quiet">{text.inspect.none}</p>}
      {view.is === "loading" && <p class="quiet">{text.inspect.loading}</p>}
      {view.is === "failed" && <p class="quiet">{view.sentence || text.inspect.offline}</p>}
      {view.is === "sheet" && <SheetList sheet={view.sheet} dated={view.of.year !== 0} />}
    </section>
  );
}

function SheetList({ sheet, dated }: { sheet: Sheet; dated: boolean }) {
  const all = useSignal(false);
  const { openPoints } = useView();
  const { look } = sheet;
  if (look.length === 0) return <p class="quiet">{text.inspect.empty}</p>;
  const marked = look.filter((l) => l.first);
  const first = marked.length > 0 ? marked : look.slice(0, firstPoints);
  // What is being read stays, also when the next verdict puts it further down.
  const shown = all.value ? look : look.filter((l) => first.includes(l) || openPoints.value.has(pointKey(l)));
  const explaining = shown.filter((l) => l.explains_weight);
  const others = shown.filter((l) => !l.explains_weight);
  return (
    <>
      {look.some((l) => l.english.length > 0) && (
        <p class="quiet small" data-part="untranslated">
          {text.inspect.untranslated}
        </p>
      )}
      {explaining.length > 0 && <h3>{text.inspect.explains}</h3>}
      <Points list={explaining} dated={dated} />
      {explaining.length > 0 && others.length > 0 && <h3>{text.inspect.besides}</h3>}
      <Points list={others} dated={dated} />
      {look.length > first.length && (
        <button
          type="button"
          class="button wide"
          data-do="more-points"
          onClick={() => {
            all.value = !all.value;
          }}
        >
          {all.value ? text.inspect.showFewer : text.inspect.showMore(look.length - shown.length)}
        </button>
      )}
      {sheet.cautions.length > 0 && <Cautions list={sheet.cautions} />}
    </>
  );
}

export const pointKey = (l: LookFor): string => l.id;

/** What to look for, point by point, each to be opened. */
export function Points({ list, dated }: { list: LookFor[]; dated: boolean }) {
  if (list.length === 0) return null;
  return (
    <ol class="points">
      {list.map((l) => (
        <Point key={pointKey(l)} l={l} dated={dated} />
      ))}
    </ol>
  );
}

function Point({ l, dated }: { l: LookFor; dated: boolean }) {
  const opened = useView().openPoints;
  const tool: IconName = isIconName(l.tool) ? l.tool : "eye";
  const open = opened.value.has(pointKey(l));
  const seen = useSignal(open); // a drawing is fetched only once somebody looks
  return (
    <li class="point" data-kind={l.kind} data-point={pointKey(l)} data-scope={l.scope} data-with={l.tool}>
      <details
        open={open}
        onToggle={(e) => {
          const now = new Set(opened.peek());
          if (e.currentTarget.open) now.add(pointKey(l));
          else now.delete(pointKey(l));
          opened.value = now;
          seen.value ||= e.currentTarget.open;
        }}
      >
        <summary>
          <span class="tool">
            <I name={tool} />
            <span class="tool-word">{named(text.tools, l.tool)}</span>
          </span>
          <span class="point-name">
            <span lang={langOf(l, "name")}>{l.name}</span>
            <span class="quiet point-where" lang={langOf(l, "where")}>
              {placeOf(l)}
            </span>
            {dated && l.scope === "date" && <span class="tag">{text.inspect.date}</span>}
            {l.look_alike && <span class="tag">{text.inspect.lookAlike}</span>}
          </span>
        </summary>
        {seen.value && <Drawings names={l.drawings} />}
        <dl class="facts inside">
          <Fact name={text.inspect.see} words={l.appearance} lang={langOf(l, "see")} />
          <Fact name={text.inspect.light} words={l.light} lang={langOf(l, "light")} />
          <Fact
            name={l.look_alike ? text.inspect.takenFor : text.inspect.mimics}
            words={l.mimics}
            lang={langOf(l, "mimics")}
          />
          <Fact name={text.inspect.decides} words={l.deciding_sign} lang={langOf(l, "decides")} />
          <Fact name={text.inspect.weight} words={l.weight} lang={langOf(l, "weight")} />
          <Fact name={text.inspect.rarity} words={rarityWords(l.rarity)} />
          <Fact name={text.inspect.sure} words={l.sure} />
        </dl>
      </details>
    </li>
  );
}

/** The text for a word of the core; the word itself where there is none yet. */
function named(texts: Record<string, string>, word: string): string {
  return texts[word] ?? word;
}

function Fact({ name, words, lang }: { name: string; words: string; lang?: "en" | undefined }) {
  if (!words) return null;
  return (
    <div>
      <dt>{name}</dt>
      <dd lang={lang}>{lang ? words : figure(words)}</dd>
    </div>
  );
}

function Cautions({ list }: { list: Caution[] }) {
  return (
    <details class="cautions" data-part="cautions">
      <summary>
        <I name="warning" />
        {text.inspect.cautions}
      </summary>
      <ul class="inside">
        {list.map((c) => (
          <li key={c.id}>{c.text}</li>
        ))}
      </ul>
    </details>
  );
}
