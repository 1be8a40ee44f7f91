import { useEffect, useRef } from "preact/hooks";
import { huntSources } from "../../core/journal";
import { text } from "../../text";

/** Asked once of each hunt: how often silver or an odd coin is met depends on it. */
export function AskSource(props: { onPick(source: string): void; onClose?(): void }) {
  const heading = useRef<HTMLHeadingElement>(null);
  const asked = props.onClose !== undefined;
  useEffect(() => {
    if (asked) heading.current?.focus();
  }, [asked]);
  return (
    <section class="card" aria-labelledby="ask-source" data-part="ask-source">
      <h2 id="ask-source" ref={heading} tabIndex={-1}>
        {text.hunts.askSource}
      </h2>
      <p class="quiet small">{text.hunts.askSourceHint}</p>
      <div class="choice-row">
        {huntSources.map((source) => (
          <button
            key={source}
            type="button"
            class="button source-button"
            data-do="begin-hunt"
            data-source={source}
            onClick={() => props.onPick(source)}
          >
            {text.hunts.sources[source]}
          </button>
        ))}
      </div>
      {props.onClose && (
        <button type="button" class="button" data-do="no-hunt" onClick={props.onClose}>
          {text.nav.close}
        </button>
      )}
    </section>
  );
}
