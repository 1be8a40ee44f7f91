import { useSignal } from "@preact/signals";
import { plainNumber } from "../../core/plain-number";
import { lowestOf } from "../../core/ring";
import type { Test, Verdict } from "../../core/types";
import { text } from "../../text";
import { firstSentence } from "../../text/first-sentence";
import { useApp } from "../../view/context";
import { I, type IconName, isIconName } from "../../view/icons";
import { addressOf } from "../../view/places";
import {
  type EvidenceField,
  evidenceFields,
  type Given,
  isEmpty,
  isEvidenceField,
} from "../../weigh/evidence";
import {
  answersOf,
  type EvidenceTest,
  evidenceTests,
  isEvidenceTest,
  tellings,
  testOf,
} from "../../weigh/evidence-tests";
import type { Shown } from "../../weigh/live-verdict";
import { Answered, Question } from "./question";

/** No coin is wider, or thicker, than this many millimetres. */
const widest = 120;

/** Whose answers count: those of the device that holds the pan, on the coin that lies there or lay there last. */
function useTelling(shown: Shown): { elsewhere: string | null; mine: boolean } {
  const { evidence, panControl, manualWeight } = useApp();
  const holder = manualWeight.on.value ? null : panControl.state.value;
  const elsewhere = holder?.is === "other" ? holder.name : null;
  return { elsewhere, mine: elsewhere === null && shown.placement === evidence.coin };
}

/**
 * The one thing to find out next, to be answered at once: the open question, or
 * the test that tells most for the effort. Below it what was answered and told.
 */
export function AskNext({ shown }: { shown: Shown }) {
  const { evidence, panControl } = useApp();
  const { elsewhere, mine } = useTelling(shown);
  const { question, next_test, answered } = shown.verdict;
  return (
    <div class="evidence" data-part="evidence">
      <Answered list={answered} tellable={mine} />
      {/* A press held while the coin or the question changes answers neither. */}
      {question && <Question key={`${shown.placement}/${question.id}`} q={question} tellable={mine} />}
      {!question && next_test && (
        <NextTest key={`${shown.placement}/${next_test.test}`} test={next_test} tellable={mine} />
      )}
      {elsewhere !== null && (
        <ToldThere
          name={elsewhere}
          given={panControl.followed.value?.evidence ?? {}}
          verdict={shown.verdict}
        />
      )}
      {mine && <GivenList given={evidence.given.value} verdict={shown.verdict} />}
      {mine && <SameCoin />}
    </div>
  );
}

/** The other tests, for what a person has found out anyway. */
export function MoreTests({ shown }: { shown: Shown }) {
  const { mine } = useTelling(shown);
  const { question, next_test } = shown.verdict;
  if (!mine) return null;
  const rest = evidenceTests.filter((t) => question || t !== next_test?.test);
  return (
    <details class="evidence-more">
      <summary>{text.evidence.more}</summary>
      <div class="inside">
        {rest.map((t) => (
          <OtherTest key={t} t={t} />
        ))}
      </div>
    </details>
  );
}

/** What is to be done and its answers, with what can hurt a person; what can hurt a coin is told with how it is done. */
function NextTest({ test, tellable }: { test: Test; tellable: boolean }) {
  const known = isEvidenceTest(test.test) ? test.test : null;
  const caution = known === "magnet" ? text.evidence.tests.magnet.caution : "";
  return (
    <div class="next-test" data-part="next-test" data-test={test.test}>
      <I name={known ? iconOf(known) : "next"} />
      <div class="next-test-words">
        <p class="next-test-act">{firstSentence(test.sentence)[0]}</p>
        {tellable && (test.choices.length > 0 ? <TestChoices test={test} /> : known && <Tell t={known} />)}
        {caution && (
          <p class="quiet small" data-part="test-caution">
            {caution}
          </p>
        )}
      </div>
    </div>
  );
}

/** How the next test is done, what its answers would mean, and what not to do to a coin. */
export function HowTo({ shown }: { shown: Shown }) {
  const { question, next_test: test } = shown.verdict;
  if (question || !test) return null;
  const words = isEvidenceTest(test.test) ? text.evidence.tests[test.test] : null;
  const caution = words?.caution || test.caution;
  return (
    <details class="how">
      <summary>{text.evidence.how}</summary>
      <div class="inside">
        {words && (
          <ol>
            {words.steps.map((s) => (
              <li key={s}>{s}</li>
            ))}
          </ol>
        )}
        <p>{firstSentence(test.sentence)[1]}</p>
        {caution && <p class="quiet small">{caution}</p>}
      </div>
    </details>
  );
}

/** The core's answers to its test. */
function TestChoices({ test }: { test: Test }) {
  const { evidence } = useApp();
  return (
    <div class="tell" role="group" aria-label={test.sentence}>
      {test.choices.map((c) => (
        <button
          key={c.value}
          type="button"
          class="button"
          data-field={test.evidence}
          data-answer={c.value}
          aria-pressed={evidence.given.value[test.evidence] === c.value}
          onClick={() => evidence.set(test.evidence, c.value)}
        >
          {c.name}
        </button>
      ))}
    </div>
  );
}

function iconOf(t: EvidenceTest): IconName {
  const byTest: Partial<Record<EvidenceTest, string>> = {
    magnet: "magnet",
    diameter: "calipers",
    thickness: "calipers",
    density: "density",
    ring: "ring",
    date: "loupe",
    mint: "loupe",
    stripe: "loupe",
  };
  const name = byTest[t] ?? "eye";
  return isIconName(name) ? name : "next";
}

function OtherTest({ t }: { t: EvidenceTest }) {
  const words = text.evidence.tests[t];
  return (
    <details class="other-test" data-test={t}>
      <summary>
        <I name={iconOf(t)} />
        {words.name}
      </summary>
      <div class="inside">
        <Tell t={t} />
        {words.caution && <p class="quiet small">{words.caution}</p>}
        <ol>
          {words.steps.map((s) => (
            <li key={s}>{s}</li>
          ))}
        </ol>
      </div>
    </details>
  );
}

/** Where the result is told. */
function Tell({ t }: { t: EvidenceTest }) {
  const app = useApp();
  const telling = tellings[t];
  switch (telling.by) {
    case "answer": {
      const { field } = telling;
      const words = text.evidence.answers[field] as Record<string, string>;
      return (
        <div class="tell" role="group" aria-label={text.evidence.tests[t].name}>
          {answersOf[field].map((a) => (
            <button
              key={a}
              type="button"
              class="button"
              data-field={field}
              data-answer={a}
              aria-pressed={app.evidence.given.value[field] === a}
              onClick={() => app.evidence.set(field, a)}
            >
              {words[a] ?? a}
            </button>
          ))}
        </div>
      );
    }
    case "size":
      return <Size field={telling.field} name={text.evidence.tests[t].name} />;
    case "density":
      return (
        <a class="button tell-link" href={addressOf("density")}>
          {text.evidence.toDensity}
        </a>
      );
    case "ring":
      return (
        <a class="button tell-link" href={addressOf("ring")} data-do="to-ring">
          {text.ring.toRing}
        </a>
      );
    case "date":
      return (
        <button type="button" class="button" data-do="tell-date" onClick={() => app.enterDate()}>
          {text.evidence.toDate}
        </button>
      );
  }
}

function Size({ field, name }: { field: "diameter_mm" | "thickness_mm"; name: string }) {
  const { evidence } = useApp();
  const typed = useSignal("");
  const wrong = useSignal(false);
  return (
    <form
      class="tell-size"
      noValidate
      onSubmit={(e) => {
        e.preventDefault();
        const n = plainNumber(typed.value);
        const size = Number(n);
        wrong.value = !(n && size > 0 && size < widest);
        if (!wrong.value) evidence.set(field, n);
      }}
    >
      <label class="field">
        <span>
          {name} {text.evidence.millimetres}
        </span>
        <input
          name={field}
          inputMode="decimal"
          autocomplete="off"
          value={typed.value}
          aria-invalid={wrong.value || undefined}
          onInput={(e) => {
            typed.value = e.currentTarget.value;
          }}
        />
      </label>
      <button type="submit" class="button" data-do="take-size">
        {text.evidence.set}
      </button>
      {wrong.value && (
        <p class="problem small" role="alert">
          {text.evidence.badNumber}
        </p>
      )}
    </form>
  );
}

/** On a device that only watches: what the pan's holder told, and who may tell more. */
function ToldThere({ name, given, verdict }: { name: string; given: Given; verdict: Verdict }) {
  const told = toldOf(given, verdict);
  return (
    <p class="quiet small" data-part="told-there">
      {told.length > 0 && `${text.evidence.saidThere(told.join(", "))} `}
      {text.evidence.toldThere(name)}
    </p>
  );
}

function GivenList({ given, verdict }: { given: Given; verdict: Verdict }) {
  const { evidence } = useApp();
  const told = evidenceFields.filter((f) => given[f] !== undefined);
  const answered = Object.keys(given).filter((f) => verdict.answered.some((a) => a.id === f));
  // An answer is taken back, and given anew, where its question stands.
  if (told.length === 0 && (answered.length > 0 || verdict.question)) return null;
  if (told.length === 0 && !evidence.canUndo) return null;
  return (
    <div class="given" data-part="given">
      <h3>{text.evidence.given}</h3>
      <ul class="plain given-list">
        {told.map((f) => {
          const words = toldWords(f, given[f] ?? "");
          return (
            <li key={f}>
              <button
                type="button"
                class="button given-one"
                data-given={f}
                onClick={() => evidence.remove(f)}
              >
                <span class="unseen">{text.evidence.remove(words)}</span>
                <span aria-hidden="true">{words}</span>
                <I name="clear" />
              </button>
            </li>
          );
        })}
        <li>
          <button
            type="button"
            class="button"
            data-do="undo-evidence"
            disabled={!evidence.canUndo}
            onClick={() => evidence.undo()}
          >
            {text.evidence.undo}
          </button>
        </li>
      </ul>
    </div>
  );
}

/** For the coin that was lifted to be looked at, and put back. */
function SameCoin() {
  const { evidence } = useApp();
  const before = evidence.before.value;
  if (isEmpty(before)) return null;
  const words = toldOf(before, null);
  return (
    <button
      type="button"
      class="button wide same-coin"
      data-do="same-coin"
      onClick={() => evidence.sameCoin()}
    >
      {text.evidence.sameCoin}
      <span class="quiet small">{words.join(", ")}</span>
    </button>
  );
}

/** What was told, in words; an answer to a question by its name, where the verdict has it. */
function toldOf(given: Given, verdict: Verdict | null): string[] {
  return Object.entries(given).map(([f, value]) => {
    if (isEvidenceField(f)) return toldWords(f, value);
    const a = verdict?.answered.find((q) => q.id === f);
    return a?.choices.find((c) => c.id === value)?.name ?? value;
  });
}

/** “magnet: not drawn”, “diameter: 19.05 mm”. */
function toldWords(field: EvidenceField, value: string): string {
  const name = text.evidence.tests[testOf(field)].short;
  if (field === "diameter_mm" || field === "thickness_mm" || field === "density") {
    return `${name}: ${text.evidence.measured[field](value)}`;
  }
  if (field === "ring") return text.ring.told(lowestOf(value));
  const words = text.evidence.answers[field] as Record<string, string>;
  return `${name}: ${(words[value] ?? value).toLowerCase()}`;
}
