import type { AlloyChance, Explanation, FigureSource, Tolerance } from "../../core/types";
import { text } from "../../text";
import { partIds } from "../../view/keyboard";
import { percentOf } from "../tools/coin-words";
import { massText } from "./figures";
import { supportWords } from "./ratio";

/** How many explanations are shown; the core gives them likeliest first. */
const shownExplanations = 3;

export function ToleranceWords({ tolerance: t }: { tolerance: Tolerance }) {
  return (
    <div class="tolerance" data-part="tolerance" data-state={t.state}>
      <details>
        <summary>
          {t.sentence ||
            (t.state === "below" && t.worn_ok ? text.tolerance.belowWorn : text.tolerance[t.state])}
        </summary>
        <div class="inside">
          {t.settle && <p>{t.settle}</p>}
          {t.conformity !== null && <p>{text.tolerance.conformity(text.percent(t.conformity))}</p>}
          <p>
            {t.limit_g === null
              ? text.tolerance.noLimit
              : t.scope === "batch"
                ? text.tolerance.batch
                : text.tolerance.piece}
          </p>
          <dl class="facts">
            {t.nominal_g !== null && (
              <Whence
                name={text.tolerance.nominalFrom}
                grams={massText(t.nominal_g)}
                source={t.nominal_source}
              />
            )}
            {t.limit_g !== null && (
              <Whence
                name={text.tolerance.limitFrom}
                grams={`± ${massText(t.limit_g)}`}
                source={t.limit_source}
              />
            )}
          </dl>
        </div>
      </details>
    </div>
  );
}

function Whence({ name, grams, source }: { name: string; grams: string; source: FigureSource | null }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>
        <span class="figures">{text.weight.asGrams(grams)}</span>
        {source?.title && <span class="source">{source.title}</span>}
        {source?.grade && <span class="quiet">{gradeWords(source.grade)}</span>}
      </dd>
    </div>
  );
}

function gradeWords(grade: string): string {
  const words = (text.grades as Record<string, string>)[grade];
  return words ?? `${text.tolerance.grade}: ${grade}`;
}

/** coin names whose alloys they are, where that isn’t plain. */
export function Alloys({ alloys, coin }: { alloys: AlloyChance[]; coin: string }) {
  const best = alloys[0];
  return (
    <details class="alloys" id={partIds.alloys} data-part="alloys">
      <summary data-do="details">
        {coin ? text.alloys.of(coin) : text.alloys.title}
        {best && <span class="quiet">{text.alloys.best(best.name, text.percent(best.probability))}</span>}
      </summary>
      <ul class="plain inside">
        {alloys.map((a) => (
          <li key={a.name + a.years} class="alloy">
            <span class="alloy-name">{a.name}</span>
            <span class="figures">{text.percent(a.probability)}</span>
            <Chance p={a.probability} />
            <span class="quiet">{compositionText(a.fractions)}</span>
            {a.years && (
              <span class="quiet figures">
                {text.alloys.years} {a.years}
              </span>
            )}
          </li>
        ))}
      </ul>
    </details>
  );
}

function Chance({ p }: { p: number }) {
  return (
    <svg class="chance" width="100%" height="0.5em" aria-hidden="true" focusable="false">
      <rect class="chance-all" width="100%" height="100%" rx="3" />
      <rect class="chance-part" width={`${(100 * p).toFixed(1)}%`} height="100%" rx="3" />
    </svg>
  );
}

/** “95% Cu, 5% Zn”, most first. */
function compositionText(fractions: Record<string, number>): string {
  return Object.entries(fractions)
    .sort((a, b) => b[1] - a[1])
    .map(([element, share]) => text.book.fraction(percentOf(share), element))
    .join(", ");
}

/** What the weight says of an explanation; nothing where it says nothing. */
function Weighed({ e }: { e: Explanation }) {
  const expected = e.expected_g !== null && text.explanations.expected(massText(e.expected_g));
  const words = [supportWords(e), expected].filter(Boolean).join("; ");
  return words ? <p class="quiet">{words}</p> : null;
}

export function Explanations({ list }: { list: Explanation[] }) {
  return (
    <div class="explanations" data-part="explanations">
      <h3>{text.explanations.title}</h3>
      <ol>
        {list.slice(0, shownExplanations).map((e) => (
          <li key={e.kind + e.name} data-kind={e.kind}>
            <p class="explanation-name">{e.name}</p>
            <Weighed e={e} />
            {e.expert && <p class="tag">{text.explanations.expert}</p>}
            {e.confirm && (
              <p>
                <strong>{text.explanations.confirm}:</strong> {e.confirm}
              </p>
            )}
          </li>
        ))}
      </ol>
    </div>
  );
}
