import { dialMarks } from "../../bench/dial";
import { text } from "../../text";

/** Sizes of the drawing, mm: the sheet fits A4 and US Letter with room for any printer's edges. */
const [wide, high] = [190, 174];
const middle = { x: 95, y: 92 };
/** The circle that is cut. */
const cut = 70;
/** The line by which a printer's scaling shows. */
const check = 100;

/** A place around the middle, degrees clockwise from the top. */
const around = (degrees: number, r: number): string => {
  const turn = (degrees * Math.PI) / 180;
  return `${(middle.x + r * Math.sin(turn)).toFixed(3)} ${(middle.y - r * Math.cos(turn)).toFixed(3)}`;
};

/** The dial as it is printed, black on white in any theme. */
export function DialSheet({ paper }: { paper: string }) {
  return (
    <section class="dial-sheet" data-part="dial-sheet" data-paper={paper} aria-label={text.dial.preview}>
      <h2>{text.dial.sheet.title}</h2>
      <svg viewBox={`0 0 ${wide} ${high}`} aria-hidden="true" focusable="false">
        <text x={middle.x} y="4.5" class="dial-words">
          {text.dial.sheet.lamp}
        </text>
        <path class="dial-arrow" d={`M${middle.x - 5} 7h10L${middle.x} 15.5Z`} />
        <circle class="dial-cut" cx={middle.x} cy={middle.y} r={cut} />
        {dialMarks.map((mark, i) => (
          <g key={mark}>
            {/* Across the cut, so that disc and sheet meet in a line. */}
            <path class="dial-line" d={`M${around(45 * i, 63)}L${around(45 * i, 76)}`} />
            <text
              class="dial-number"
              x={middle.x}
              y={middle.y - 51}
              transform={`rotate(${45 * i} ${middle.x} ${middle.y})`}
            >
              {mark}
            </text>
          </g>
        ))}
        {/* No circle here: it would be taken for a coin's edge. */}
        <CoinPlace />
        <text x={middle.x} y={high - 0.5} class="dial-words">
          ✂ {text.dial.sheet.cut}
        </text>
      </svg>
      <ol class="plain">
        {text.dial.sheet.steps.map((words) => (
          <li key={words}>{words}</li>
        ))}
      </ol>
      <svg viewBox={`0 0 ${wide} 7`} aria-hidden="true" focusable="false">
        <path class="dial-line" data-part="dial-check" d={`M${(wide - check) / 2} 4h${check}`} />
        {Array.from({ length: check / 10 + 1 }, (_, i) => (
          <path
            key={i}
            class="dial-line"
            d={`M${(wide - check) / 2 + 10 * i} ${i % 5 === 0 ? 1 : 2.5}V5.5`}
          />
        ))}
      </svg>
      <p>
        {text.dial.sheet.check} {text.dial.sheet.scaled}
      </p>
    </section>
  );
}

/** Four arms to center a coin between, with a tick every 5 mm. */
function CoinPlace() {
  const arms = [0, 90, 180, 270];
  const ticks = [10, 15, 20, 25, 30, 35, 40];
  return (
    <g class="dial-fine">
      {arms.map((a) => (
        <g key={a} transform={`rotate(${a} ${middle.x} ${middle.y})`}>
          <path d={`M${middle.x} ${middle.y}V${middle.y - 40}`} />
          {ticks.map((r) => (
            <path key={r} d={`M${middle.x - 1} ${middle.y - r}h2`} />
          ))}
        </g>
      ))}
    </g>
  );
}
