import { type DensityAnswer, type MetalFit, readDensityAnswer } from "../../core/weighings";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { Choices } from "../form/controls";
import { put, useForm } from "../form/kept";
import { uncertaintyText } from "../weigh/figures";
import { named } from "./coin-words";
import { AnswerCard, askFilled, Entry, Fault, Pick, WeightEntry, wrongField } from "./form";
import { ToolPage, toWeighing } from "./page";
import { densityQuestion } from "./questions";
import { useAsking } from "./use-asking";

const methods = ["hung", "cup"] as const;

/** A coin's density from two weighings, and the metals that remain. */
export function DensityScreen() {
  const app = useApp();
  const form = useForm("density", { method: "cup" });
  const asking = useAsking<DensityAnswer>("density", readDensityAnswer);
  const method = form.value.method === "hung" ? "hung" : "cup";
  const view = asking.view.value;
  const labels: Record<string, string> = {
    dry_g: text.density.dry,
    wet_g: method === "hung" ? text.density.wetHung : text.density.wetCup,
    water_c: text.density.water,
  };
  const wrong = wrongField(view);
  return (
    <ToolPage tool="density" title={text.toolbox.names.density} back={toWeighing()}>
      <p>{text.density.intro}</p>
      <form
        class="tool-form"
        noValidate
        onSubmit={(e) => {
          e.preventDefault();
          askFilled(asking, form.value, labels, densityQuestion(form.value, app.prefs.country.value));
        }}
      >
        <Choices
          name="method"
          legend={text.density.method}
          of={methods}
          picked={method}
          words={(m) => text.density.methods[m]}
          onPick={(m) => {
            put(form, { method: m });
            asking.clear();
          }}
        />
        <ol class="wide steps">
          {text.density.steps[method].map((step) => (
            <li key={step}>{step}</li>
          ))}
        </ol>
        <WeightEntry form={form} name="dry_g" label={text.density.dry} wrong={wrong} />
        <WeightEntry form={form} name="wet_g" label={labels.wet_g ?? ""} wrong={wrong} />
        {method === "hung" && (
          <Entry
            form={form}
            name="thread_g"
            label={text.density.thread}
            hint={text.density.optional}
            wrong={wrong}
          />
        )}
        <Entry form={form} name="water_c" label={text.density.water} wrong={wrong} />
        <Pick
          form={form}
          name="denomination"
          label={text.density.coin}
          none={text.density.anyCoin}
          wrong={wrong}
          options={app.denominations.value.map((d) => ({ id: d.id, words: d.name }))}
        />
        <button type="submit" class="button main" data-do="work">
          {text.density.work}
        </button>
      </form>
      <Fault asked={view} />
      {view.is === "answer" && <Result a={view.value} />}
      <section class="card" aria-labelledby="density-care">
        <h2 id="density-care">{text.density.cautions}</h2>
        <ul class="care">
          {text.density.cautionList.map((c) => (
            <li key={c}>{c}</li>
          ))}
        </ul>
      </section>
    </ToolPage>
  );
}

/** As many decimals as the uncertainty has. */
function densityText(value: number, u: number): string {
  return value.toFixed(Math.min(4, uncertaintyText(u).split(".")[1]?.length ?? 0));
}

function Result({ a }: { a: DensityAnswer }) {
  const half = (a.high - a.low) / 2;
  const fit = a.alloys.filter((m) => m.remains);
  const out = a.alloys.filter((m) => !m.remains);
  const others = a.others.filter((m) => m.remains);
  const range = rangeOf(a);
  return (
    <AnswerCard>
      <p class="answer-words figures">
        {text.density.result(densityText(a.density, half), uncertaintyText(half))}
      </p>
      <p class="quiet">
        {text.density.resultHint(densityText(a.low, half), densityText(a.high, half))}{" "}
        {text.density.volume(a.volume.toFixed(3), a.water.toFixed(4))}
      </p>
      <h2>{text.density.remain}</h2>
      {fit.length === 0 ? <p>{text.density.noneRemain}</p> : <Fits list={fit} a={a} range={range} />}
      {out.length > 0 && (
        <details class="figure-row ruled-out">
          <summary>{text.density.out(out.length)}</summary>
          <Fits list={out} a={a} range={range} />
        </details>
      )}
      <h2>{text.density.others}</h2>
      {others.length === 0 ? <p>{text.density.othersNone}</p> : <Fits list={others} a={a} range={range} />}
      {a.advice && <p>{a.advice}</p>}
      <UseForVerdict value={densityText(a.density, half)} />
    </AnswerCard>
  );
}

/** The density as evidence: for the coin once it is back on the pan. */
function UseForVerdict({ value }: { value: string }) {
  const { evidence } = useApp();
  const used = evidence.before.value.density === value;
  return (
    <>
      <button
        type="button"
        class="button wide"
        data-do="use-density"
        disabled={used}
        onClick={() => evidence.putBy({ density: value })}
      >
        {text.evidence.densityUse}
      </button>
      <p class="quiet small" role="status">
        {used && text.evidence.densityUsed}
      </p>
    </>
  );
}

interface Range {
  low: number;
  high: number;
}

/** What the strips reach over: every band and the coin. */
function rangeOf(a: DensityAnswer): Range {
  const all = [...a.alloys, ...a.others.filter((m) => m.remains), a];
  return { low: Math.min(...all.map((m) => m.low)), high: Math.max(...all.map((m) => m.high)) };
}

function Fits({ list, a, range }: { list: MetalFit[]; a: DensityAnswer; range: Range }) {
  return (
    <ul class="plain fits">
      {list.map((m) => (
        <li key={m.name} data-remains={m.remains || undefined}>
          <div class="fit-head">
            <span class="fit-name">{m.name}</span>
            <span class="quiet figures">{text.density.band(m.low.toFixed(2), m.high.toFixed(2))}</span>
          </div>
          <Strip m={m} a={a} range={range} />
          {m.coins.length > 0 && <p class="quiet small">{m.coins.join(", ")}</p>}
          {m.note && <p class="quiet small">{m.note}</p>}
          {m.grade && <p class="quiet small">{named(text.grades, m.grade)}</p>}
        </li>
      ))}
    </ul>
  );
}

/** The metal's band under the coin's; the words beside it say the same. */
function Strip({ m, a, range }: { m: MetalFit; a: DensityAnswer; range: Range }) {
  const width = 300;
  const x = (d: number) => (width * (d - range.low)) / (range.high - range.low || 1);
  const wide = (low: number, high: number) => Math.max(3, x(high) - x(low));
  return (
    <svg
      class="strip"
      viewBox={`0 0 ${width} 14`}
      preserveAspectRatio="none"
      aria-hidden="true"
      focusable="false"
    >
      <path d={`M0 10h${width}`} class="strip-line" />
      <rect x={x(m.low)} y="7" width={wide(m.low, m.high)} height="6" class="strip-metal" />
      <rect x={x(a.low)} y="0" width={wide(a.low, a.high)} height="5" class="strip-coin" />
    </svg>
  );
}
