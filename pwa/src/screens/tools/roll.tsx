import { useEffect } from "preact/hooks";
import { type CoinList, readCoins } from "../../core/coins";
import { type RollAnswer, readRollAnswer } from "../../core/weighings";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { useForm } from "../form/kept";
import { barsOf } from "./bars";
import { AnswerCard, askFilled, Entry, Fault, Pick, WeightEntry, wrongField } from "./form";
import { ToolPage, toWeighing } from "./page";
import { rollQuestion } from "./questions";
import { rollIssues } from "./roll-issues";
import { useAsking } from "./use-asking";

const mostBars = 60;

/** How common the other kind may be held before weighing. */
const shares = ["0.1", "0.01", "0.001", "0.0001"] as const;

/** How many coins a roll or a pile holds, or how many of another kind, from its weight. */
export function RollScreen() {
  const app = useApp();
  const form = useForm("roll", { denomination: app.prefs.denomination.value });
  const coins = useAsking<CoinList>("coins", readCoins);
  const asking = useAsking<RollAnswer>("roll", readRollAnswer);
  const country = app.prefs.country.value;
  const denomination = form.value.denomination ?? "";
  const waiting = app.coreHost.value === "waiting";
  // Asked again once a core has come within reach
  useEffect(() => {
    if (denomination) void coins.ask({ country, denomination });
    else coins.clear();
  }, [coins, country, denomination, waiting]);
  const listed = coins.view.value;
  const issues = listed.is === "answer" ? rollIssues(listed.value.coins, denomination) : [];
  const view = asking.view.value;
  const wrong = wrongField(view);
  const issue = form.value.issue ?? "";
  return (
    <ToolPage tool="roll" title={text.toolbox.names.roll} back={toWeighing()}>
      <p>{text.roll.intro}</p>
      <form
        class="tool-form"
        noValidate
        onSubmit={(e) => {
          e.preventDefault();
          const labels: Record<string, string> = { total_g: text.roll.total };
          if (form.value.other) labels.count = text.roll.count;
          askFilled(asking, form.value, labels, rollQuestion(form.value));
        }}
      >
        <Pick
          wide
          form={form}
          name="denomination"
          label={text.roll.denomination}
          none={text.toolbox.choose}
          clears={["issue", "other"]}
          options={app.denominations.value.map((d) => ({ id: d.id, words: d.name }))}
        />
        <Pick
          wide
          form={form}
          name="issue"
          label={text.roll.issue}
          none={text.toolbox.choose}
          wrong={wrong}
          options={issues}
        />
        <Pick
          wide
          form={form}
          name="other"
          label={text.roll.other}
          none={text.roll.noOther}
          wrong={wrong}
          options={issues.filter((o) => o.id !== issue)}
        />
        {form.value.other && (
          <>
            <Entry whole form={form} name="count" label={text.roll.count} wrong={wrong} />
            <Pick
              form={form}
              name="expected_share"
              label={text.roll.expected}
              none={text.roll.expectedNone}
              wrong={wrong}
              options={shares.map((s) => ({
                id: s,
                words: text.roll.expectedOne(Math.round(1 / Number(s))),
              }))}
            />
          </>
        )}
        <div class="wide">
          <WeightEntry form={form} name="total_g" label={text.roll.total} wrong={wrong} />
        </div>
        <Entry form={form} name="wrapper_g" label={text.roll.wrapper} hint={text.roll.none} wrong={wrong} />
        <Entry
          form={form}
          name="u_wrapper_g"
          label={text.roll.wrapperU}
          hint={text.roll.none}
          wrong={wrong}
        />
        <p class="quiet small">{text.roll.wrapperHint}</p>
        <button type="submit" class="button main" data-do="work" disabled={!issue}>
          {text.roll.work}
        </button>
        {!issue && <p class="quiet small">{text.roll.missing}</p>}
      </form>
      <Fault asked={view} />
      {view.is === "answer" && <Result a={view.value} />}
    </ToolPage>
  );
}

function Result({ a }: { a: RollAnswer }) {
  return (
    <AnswerCard>
      <p class="answer-words">{a.sentence}</p>
      {a.any !== null && <p>{text.roll.any(text.percent(a.any))}</p>}
      <Chart a={a} />
    </AnswerCard>
  );
}

/** The distribution as bars; those of the 95 % interval stand out by their ground too. */
function Chart({ a }: { a: RollAnswer }) {
  const bars = barsOf(a, mostBars);
  const first = bars[0];
  const last = bars.at(-1);
  if (!first || !last) return null;
  const title = a.of === "other" ? text.roll.chartOther : text.roll.chartCount;
  const highest = Math.max(...bars.map((b) => b.probability));
  const [width, height, room] = [320, 96, 18];
  const step = width / bars.length;
  const bar = Math.min(step * 0.8, 40);
  const middle = (i: number) => step * (i + 0.5);
  const best = bars.findIndex((b) => b.first <= a.best && a.best <= b.last);
  const labelled = new Set([0, best, bars.length - 1]);
  return (
    <figure class="chart">
      <figcaption class="quiet">{title}</figcaption>
      <svg viewBox={`0 0 ${width} ${height + room + 14}`} role="img" aria-label={`${title}. ${a.sentence}`}>
        <path d={`M0 ${height + 14}h${width}`} class="strip-line" />
        {bars.map((b, i) => {
          const tall = (height * b.probability) / highest;
          return (
            <rect
              key={b.first}
              x={middle(i) - bar / 2}
              y={height + 14 - tall}
              width={bar}
              height={tall}
              class={b.inside ? "bar-inside" : "bar-outside"}
            />
          );
        })}
        {bars.map((b, i) =>
          labelled.has(i) && (i === best || Math.abs(i - best) * step > 40) ? (
            <text
              key={b.first}
              x={Math.min(Math.max(middle(i), 12), width - 12)}
              y={height + 14 + room - 3}
              class="chart-label"
            >
              {b.first === b.last ? b.first : `${b.first}–${b.last}`}
            </text>
          ) : null,
        )}
        {best >= 0 && (
          <text x={Math.min(Math.max(middle(best), 24), width - 24)} y="10" class="chart-label">
            {text.percent(bars[best]?.probability ?? 0)}
          </text>
        )}
      </svg>
    </figure>
  );
}
