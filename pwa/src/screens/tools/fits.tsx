import { type FitsAnswer, readFits } from "../../core/coins";
import { text } from "../../text";
import { answersOf } from "../../weigh/evidence-tests";
import { useForm } from "../form/kept";
import { named } from "./coin-words";
import { AnswerCard, askFilled, Entry, Fault, Pick, WeightEntry, wrongField } from "./form";
import { ToolPage, toWeighing } from "./page";
import { fitsQuestion } from "./questions";
import { useAsking } from "./use-asking";
import { WorldCoins } from "./world-coins";

/** What is picked, not typed. */
const looks = ["colour", "magnetic", "edge"] as const;

/** Which coins of all countries a coin can be that nobody has named. */
export function FitsScreen() {
  const form = useForm("fits", {});
  const asking = useAsking<FitsAnswer>("fits", readFits);
  const view = asking.view.value;
  const wrong = wrongField(view).replace("mean_g", "value").replace("evidence.", "");
  return (
    <ToolPage tool="fits" title={text.toolbox.names.fits} back={toWeighing()}>
      <p>{text.fits.intro}</p>
      <form
        class="tool-form"
        noValidate
        onSubmit={(e) => {
          e.preventDefault();
          askFilled(asking, form.value, { value: text.fits.weight }, fitsQuestion(form.value));
        }}
      >
        <div class="wide">
          <WeightEntry form={form} name="value" label={text.fits.weight} wrong={wrong} />
        </div>
        <Entry
          form={form}
          name="diameter_mm"
          label={text.fits.diameter}
          hint={text.fits.optional}
          wrong={wrong}
        />
        <Entry whole form={form} name="year" label={text.fits.year} hint={text.fits.optional} wrong={wrong} />
        {looks.map((field) => (
          <Pick
            key={field}
            form={form}
            name={field}
            label={text.fits[field]}
            none={text.fits.notTried}
            wrong={wrong}
            options={answersOf[field].map((id) => ({ id, words: named(text.evidence.answers[field], id) }))}
          />
        ))}
        <button type="submit" class="button main" data-do="work">
          {text.fits.work}
        </button>
      </form>
      <Fault asked={view} />
      {view.is === "answer" && <Result a={view.value} />}
    </ToolPage>
  );
}

function Result({ a }: { a: FitsAnswer }) {
  return (
    <>
      <AnswerCard>
        <p class="answer-words">{a.sentence}</p>
        {a.caution && <p class="problem">{a.caution}</p>}
      </AnswerCard>
      {a.coins.length > 0 && (
        <section class="card" data-part="fitting" aria-label={text.toolbox.names.fits}>
          <p class="quiet small">{text.fits.hint}</p>
          <WorldCoins
            coins={a.coins}
            sources={a.sources}
            below={(c) =>
              c.chance < 0.01 ? text.fits.chanceSmall : text.fits.chance(text.percent(c.chance))
            }
          />
          {a.more > 0 && <p>{text.fits.more(a.more)}</p>}
        </section>
      )}
    </>
  );
}
