import { useSignal } from "@preact/signals";
import { automatic, type ScaleHand, type ScaleSettings, type ScaleView } from "../../scale/scale-hand";
import { text } from "../../text";
import { addressOf } from "../../view/places";
import { ToolPage } from "./page";
import { HandForm } from "./scale-hand-form";
import { RawLines } from "./scale-lines";
import { useScaleHand } from "./use-scale-hand";

/** How the scale was found and is read, and setting it by hand. */
export function ScaleCableScreen() {
  const hand = useScaleHand();
  const view = hand.view.value;
  const trouble = hand.trouble.value;
  return (
    <ToolPage
      tool="scale"
      title={text.scaleHand.title}
      back={{ href: addressOf("scale"), words: text.scale.back }}
    >
      {trouble && (
        <p class="problem" role="alert">
          {trouble === "-" ? text.scale.failed : trouble}
        </p>
      )}
      {view ? <Inside view={view} hand={hand} /> : !trouble && <p class="quiet">{text.scale.loading}</p>}
    </ToolPage>
  );
}

function Inside({ view, hand }: { view: ScaleView; hand: ScaleHand }) {
  const form = useSignal<ScaleSettings>(view.settings);
  const fault = useSignal<{ field: string; sentence: string } | null>(null);
  const said = useSignal("");

  async function set(settings: ScaleSettings) {
    said.value = "";
    const wrong = await hand.set(settings);
    fault.value = wrong && { ...wrong, sentence: wrong.sentence || text.scaleHand.failed };
    if (wrong) return;
    if (hand.view.value) form.value = hand.view.value.settings;
    said.value = text.scaleHand.used;
  }

  return (
    <>
      <Now view={view} />
      {/* A pattern is tried on the very lines it is to fit, so it stands beside them. */}
      <RawLines view={view} form={form} />
      <Ports
        view={view}
        take={(port, line) => {
          const [baud = "", framing = ""] = line.split(" ");
          form.value = { ...form.value, port, baud: Number(baud) || 0, framing };
        }}
      />
      <HandForm view={view} form={form} fault={fault.value} onUse={() => void set(form.value)} />
      <p role="status" class="quiet" data-part="used">
        {said.value}
      </p>
      <p class="acts">
        <button
          type="button"
          class="button"
          data-do="by-itself"
          onClick={() => void set(automatic(view.settings.port === "virtual" ? "virtual" : ""))}
        >
          {text.scaleHand.again}
        </button>
      </p>
    </>
  );
}

function Now({ view }: { view: ScaleView }) {
  const n = view.now;
  return (
    <section class="card" aria-labelledby="now-title" data-part="scale-found">
      <h2 id="now-title">{text.scaleHand.nowTitle}</h2>
      <p>
        {n.name ? text.scaleHand.at(n.name, n.line) : text.scaleHand.looking}
        {n.unit && n.step && <> {text.scaleHand.unitStep(n.step, n.unit)}</>}
      </p>
      <p data-part="format" data-format={n.format}>
        {n.format
          ? text.scaleHand.formatSure(n.format, text.percent(n.sure), n.lines)
          : `${text.scaleHand.format}: ${text.scaleHand.formatNone}`}
      </p>
      {n.problem && <p class="problem">{n.problem}</p>}
      <p class="quiet small">{view.kept ? text.scaleHand.keptNote : text.scaleHand.startNote}</p>
    </section>
  );
}

/** What a search found at each port, and the way to take one that speaks unknown lines. */
function Ports({ view, take }: { view: ScaleView; take(port: string, line: string): void }) {
  const ports = view.ports.filter((p) => p.kind !== "virtual");
  return (
    <section class="card" aria-labelledby="ports-title">
      <h2 id="ports-title">{text.scaleHand.portsTitle}</h2>
      {ports.length === 0 && <p class="quiet">{text.scaleHand.portsNone}</p>}
      <ul class="plain ports">
        {ports.map((p) => (
          <li key={p.port}>
            <span class="port-name">{p.port}</span>
            {p.node && <span class="quiet small">{p.node}</span>}
            {p.found && <span class="quiet">{text.scaleHand.foundThere[p.found]}</span>}
            {p.reason && <span class="small">{p.reason}</span>}
            {p.found === "speaks" && p.line && p.heard.length > 0 && (
              <span class="acts">
                <span>{text.scaleHand.looksLike(p.line)}</span>
                <button
                  type="button"
                  class="button"
                  data-do="take-heard"
                  onClick={() => take(p.port, p.line)}
                >
                  {text.scaleHand.takeHeard}
                </button>
              </span>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}
