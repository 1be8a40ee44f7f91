import { useEffect, useRef } from "preact/hooks";
import { type Mat, type MatCoin, matColors, matSides, numbersOf } from "../../bench/mat";
import { text } from "../../text";
import { signs } from "./mat-view";

/** Many coins in one photo: counted, taught, and what is to be done with which. */
export function MatPanel({ mat }: { mat: Mat }) {
  const coins = mat.coins.value;
  const doing = mat.doing.value;
  const refused = mat.refused.value;
  const busy = doing.is !== "idle";
  return (
    <section
      class="card"
      data-part="mat-panel"
      data-state={doing.is}
      data-count={coins?.length}
      data-taught={mat.work.now.value.taught.size}
    >
      <p class="quiet small">{text.bench.mat.hint}</p>
      {busy && (
        <>
          <p role="status">
            {doing.is === "counting" ? text.bench.mat.counting : text.bench.mat.telling}{" "}
            {text.percent(doing.done)}
          </p>
          <button type="button" class="button" data-do="stop-mat" onClick={() => mat.stop()}>
            {text.bench.stop}
          </button>
        </>
      )}
      {refused && (
        <p class="problem" role="alert" data-part="mat-refused" data-why={refused}>
          {text.bench.mat.refusals[refused]}
        </p>
      )}
      {!busy && (!coins || (refused && refused !== "not-there")) && (
        <button type="button" class="button main" data-do="count-coins" onClick={() => void mat.count()}>
          {refused ? text.bench.mat.again : text.bench.mat.count}
        </button>
      )}
      {coins && (
        <>
          <Tally mat={mat} coins={coins} />
          <Wishes mat={mat} />
          <p class="quiet small">{text.bench.mat.teach}</p>
          <CoinList mat={mat} coins={coins} />
        </>
      )}
    </section>
  );
}

/** What takes a hand, in the order it is done. */
const todo = ["pick-up", "turn", "look"] as const;

/** How many there are, of which color and side, and the numbers of those to be touched. */
function Tally({ mat, coins }: { mat: Mat; coins: readonly MatCoin[] }) {
  const { taught } = mat.work.now.value;
  const lessons = [...taught.values()];
  const counted = [
    ...matColors
      .filter((color) => lessons.some((l) => l.color === color))
      .map((color) => ({
        words: text.bench.mat.colors[color],
        n: numbersOf(coins, (c) => c.color === color),
      })),
    ...matSides
      .filter((side) => lessons.some((l) => l.side === side))
      .map((side) => ({ words: text.bench.mat.sides[side], n: numbersOf(coins, (c) => c.side === side) })),
  ];
  return (
    <div role="status">
      <p data-part="mat-count" data-count={coins.length}>
        <strong>{text.bench.mat.found(coins.length)}</strong>
        {counted.length > 0 && ` · ${counted.map(({ words, n }) => `${words}: ${n.length}`).join(", ")}`}
      </p>
      {todo.map((act) => {
        const numbers = numbersOf(coins, (c) => c.act === act);
        return (
          numbers.length > 0 && (
            <p key={act} data-part="mat-act" data-act={act}>
              <strong>
                {text.bench.mat.todo[act]}
                {signs[act]}
              </strong>
              : {numbers.join(", ")}
            </p>
          )
        );
      })}
    </div>
  );
}

/** What the hunter wants of them, once something is taught. */
function Wishes({ mat }: { mat: Mat }) {
  const { taught, pick, up } = mat.work.now.value;
  const lessons = [...taught.values()];
  const colors = matColors.filter((color) => lessons.some((l) => l.color === color));
  return (
    <>
      {colors.length > 0 && (
        <Choices
          name="pick"
          words={text.bench.mat.pick}
          of={colors}
          on={pick}
          say={text.bench.mat.colors}
          choose={(color) => mat.want(color)}
        />
      )}
      {lessons.some((l) => l.side) && (
        <Choices
          name="up"
          words={text.bench.mat.up}
          of={matSides}
          on={up ? [up] : []}
          say={text.bench.mat.sides}
          choose={(side) => mat.wantUp(side === up ? "" : side)}
        />
      )}
    </>
  );
}

function Choices<T extends string>(props: {
  name: string;
  words: string;
  of: readonly T[];
  on: readonly T[];
  say: Record<T, string>;
  choose(one: T): void;
}) {
  return (
    <div class="row" role="group" aria-label={props.words} data-choices={props.name}>
      <span>{props.words}:</span>
      {props.of.map((one) => (
        <button
          key={one}
          type="button"
          class="chip-button"
          data-choice={one}
          aria-pressed={props.on.includes(one)}
          onClick={() => props.choose(one)}
        >
          {props.say[one]}
        </button>
      ))}
    </div>
  );
}

/** Every coin by its number; the one in hand says what it is, and can be taught. */
function CoinList({ mat, coins }: { mat: Mat; coins: readonly MatCoin[] }) {
  const chosen = mat.chosen.value;
  const { taught } = mat.work.now.value;
  const open = useRef<HTMLLIElement>(null);
  useEffect(() => {
    if (chosen > 0) open.current?.scrollIntoView({ block: "nearest" });
  }, [chosen]);
  return (
    <ol class="plain mat-coins" aria-label={text.bench.mat.list}>
      {coins.map((c, i) => {
        const n = i + 1;
        const lesson = taught.get(n);
        const is = [
          c.color && text.bench.mat.colors[c.color],
          c.side && text.bench.mat.sides[c.side],
          c.act !== "leave" && text.bench.mat.acts[c.act],
          lesson && text.bench.mat.taught,
        ].filter(Boolean);
        return (
          <li key={n} ref={n === chosen ? open : null} data-open={n === chosen || undefined}>
            <button
              type="button"
              class="chip-button"
              data-coin={n}
              data-color={c.color}
              data-side={c.side}
              data-act={c.act}
              aria-expanded={n === chosen}
              aria-label={[text.bench.mat.coin(n), ...is].join(", ")}
              onClick={() => mat.choose(n)}
            >
              {n}
              {signs[c.act]}
              {lesson && " ✓"}
            </button>
            {n === chosen && (
              <div class="mat-coin" role="group" aria-label={text.bench.mat.coin(n)} data-part="mat-coin">
                <p>
                  <strong>{text.bench.mat.coin(n)}</strong>
                  {is.length > 0 && ` · ${is.join(", ")}`}
                </p>
                <Choices
                  name="color"
                  words={text.bench.mat.color}
                  of={matColors}
                  on={lesson?.color ? [lesson.color] : []}
                  say={text.bench.mat.colors}
                  choose={(color) => mat.teach(n, { color })}
                />
                <Choices
                  name="side"
                  words={text.bench.mat.side}
                  of={matSides}
                  on={lesson?.side ? [lesson.side] : []}
                  say={text.bench.mat.sides}
                  choose={(side) => mat.teach(n, { side })}
                />
              </div>
            )}
          </li>
        );
      })}
    </ol>
  );
}
