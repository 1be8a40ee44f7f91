import { useSignal } from "@preact/signals";
import type { LiveCamera } from "../../bench/live-camera";
import { oneOf } from "../../core/json";
import { opened } from "../../records/photos-open";
import { noAnswerWhy, type Source } from "../../senses/pictures";
import { text } from "../../text";
import { usePictures } from "./page";

/** Why steps can't be put together, by the words of the core's focus. */
const refusals = ["too-few", "sizes", "slipped", "failed"] as const;
type Refusal = (typeof refusals)[number];

/** More would fill a phone's memory. */
const mostSteps = 8;

/** Pictures taken at one focus after the other, put together to one that is sharp all over. */
export function FocusSteps({ live, onMade }: { live: LiveCamera; onMade: (picture: ImageBitmap) => void }) {
  const pictures = usePictures();
  const steps = useSignal<readonly ImageBitmap[]>([]);
  const done = useSignal<number | null>(null);
  const why = useSignal<Refusal | "">("");
  const take = async () => {
    const picture = await live.freeze();
    if (picture) steps.value = [...steps.peek(), picture];
  };
  const forget = () => {
    for (const s of steps.peek()) s.close();
    steps.value = [];
    why.value = "";
  };
  const put = async () => {
    const of: Source[] = steps.peek().map((s) => ({ pixels: opened(s).pixels }));
    const made: Source = { made: { method: "stack", of, question: (numbers) => ({ pictures: numbers }) } };
    done.value = 0;
    why.value = "";
    try {
      const { width, height, rgba } = await pictures.pixels(made, {
        onProgress: (d) => {
          done.value = d;
        },
      });
      onMade(await createImageBitmap(new ImageData(rgba, width, height)));
    } catch (cause) {
      why.value = oneOf(refusals, noAnswerWhy(cause)) ?? "failed";
    } finally {
      done.value = null;
      for (const s of [...of, made]) pictures.forget(s);
    }
  };
  const n = steps.value.length;
  return (
    <details class="focus-steps" data-part="focus-steps" data-steps={n}>
      <summary>{text.bench.focus.title}</summary>
      <div class="inside">
        <p class="quiet small">{text.bench.focus.hint}</p>
        <div class="row">
          <button
            type="button"
            class="button"
            data-do="focus-step"
            disabled={n >= mostSteps || done.value !== null}
            onClick={() => void take()}
          >
            {text.bench.focus.add}
          </button>
          <button
            type="button"
            class="button"
            data-do="put-together"
            disabled={n < 2 || done.value !== null}
            onClick={() => void put()}
          >
            {text.bench.focus.put(n)}
          </button>
          {n > 0 && (
            <button type="button" class="quiet-button" disabled={done.value !== null} onClick={forget}>
              {text.bench.focus.forget}
            </button>
          )}
        </div>
        {done.value !== null && (
          <p role="status">
            {text.bench.focus.busy} {text.percent(done.value)}
          </p>
        )}
        {why.value && (
          <p class="problem" role="alert" data-part="focus-refused" data-why={why.value}>
            {text.bench.focus.refusals[why.value]}
          </p>
        )}
      </div>
    </details>
  );
}
