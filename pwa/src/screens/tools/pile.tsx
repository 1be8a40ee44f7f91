import { useEffect } from "preact/hooks";
import { type CoinList, readCoins } from "../../core/coins";
import { type PileAnswer, readPileAnswer } from "../../core/weighings";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { barsOf } from "./bars";
import { yearsWords } from "./coin-words";
import { AnswerCard, Entry, Fault, Pick, useForm, WeightEntry, wrongField } from "./form";
import { ToolPage, toWeighing } from "./page";
import { firstEmpty, pileQuestion } from "./questions";
import { useAsking } from "./use-asking";

const mostBars = 60;

/** How common the other kind may be held before weighing. */
const shares = ["0.1", "0.01", "0.001", "0.0001"] as const;

/** How many coins a pile holds, or how many of another kind, from its weight. */
export function PileScreen() {
  const app = useApp();
  const form = useForm("pile", { denomination: app.prefs.denomination.value });
  const coins = useAsking<CoinList>("coins", readCoins);
  const asking = useAsking<PileAnswer>("roll", readPileAnswer);
  const country = app.prefs.country.value;
  const denomination = form.value.denomination ?? "";
  const waiting = app.judge.value === "waiting";
  // Asked again once a core has come within reach
  useEffect(() => {
    if (denomination) void coins.ask({ country, denomination });
    else coins.clear();
  }, [coins, country, denomination, waiting]);
  const listed = coins.view.value;
  const issues =
    listed.is === "answer"
      ? listed.value.coins
          .filter((c) => c.denomination === denomination)
          .map((c) => ({ id: c.id, words: `${c.name}, ${yearsWords(c)}` }))
      : [];
  const view = asking.view.value;
  const wrong = wrongField(view);
  const issue = form.value.issue ?? "";
  return (
    <ToolPage tool="pile" title={text.toolbox.names.pile} back={toWeighing}>
      <p>{text.pile.intro}</p>
      <form
        class="tool-form"
        noValidate
        onSubmit={(e) => {
          e.preventDefault();
          const labels: Record<string, string> = { total_g: text.pile.total };
          if (form.value.other) labels.count = text.pile.count;
          const empty = firstEmpty(form.value, labels);
          if (empty) asking.refuse(empty, text.toolbox.missing(labels[empty] ?? empty));
          else void asking.ask(pileQuestion(form.value));
        }}
      >
        <Pick
          wide
          form={form}
          name="denomination"
          label={text.pile.denomination}
          none={text.toolbox.choose}
          clears={["issue", "other"]}
          options={app.denominations.value.map((d) => ({ id: d.id, words: d.name }))}
        />
        <Pick
          wide
          form={form}
          name="issue"
          label={text.pile.issue}
          none={text.toolbox.choose}
          wrong={wrong}
          options={issues}
        />
        <Pick
          wide
          form={form}
          name="other"
          label={text.pile.other}
          none={text.pile.noOther}
          wrong={wrong}
          options={issues.filter((o) => o.id !== issue)}
        />
        {form.value.other && (
          <>
            <Entry whole form={form} name="count" label={text.pile.count} wrong={wrong} />
            <Pick
              form={form}
              name="expected_share"
              label={text.pile.expected}
              none={text.pile.expectedNone}
              wrong={wrong}
              options={shares.map((s) => ({
                id: s,
                words: text.pile.expectedOne(Math.round(1 / Number(s))),
              }))}
            />
          </>
        )}
        <div class="wide">
          <WeightEntry form={form} name="total_g" label={text.pile.total} wrong={wrong} />
        </div>
        <Entry
          form={form}
          name="wrapper_g"
          label={text.pile.wrapper}
          placeholder={text.pile.none}
          wrong={wrong}
        />
        <Entry
          form={form}
          name="u_wrapper_g"
          label={text.pile.wrapperU}
          placeholder={text.pile.none}
          wrong={wrong}
        />
        <p class="quiet small">{text.pile.wrapperHint}</p>
        <button type="submit" class="button main" data-do="work" disabled={!issue}>
          {text.pile.work}
        </button>
        {!issue && <p class="quiet small">{text.pile.missing}</p>}
      </form>
      <Fault asked={view} />
      {view.is === "answer" && <Result a={view.value} />}
    </ToolPage>
  );
}

function Result({ a }: { a: PileAnswer }) {
  return (
    <AnswerCard>
      <p class="answer-words">{a.sentence}</p>
      {a.any !== null && <p>{text.pile.any(text.percent(a.any))}</p>}
      <Chart a={a} />
    </AnswerCard>
  );
}

/** The distribution as bars; those of the 95 % interval stand out by their ground too. */
function Chart({ a }: { a: PileAnswer }) {
  const bars = barsOf(a, mostBars);
  const first = bars[0];
  const last = bars.at(-1);
  if (!first || !last) return null;
  const title = a.of === "other" ? text.pile.chartOther : text.pile.chartCount;
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
