import type { LookFor } from "../../core/types";
import { text } from "../../text";
import { useApp, useView } from "../../view/context";
import { I, isIconName } from "../../view/icons";
import { pointKey } from "./inspect";
import { langOf, placeOf } from "./look-words";

/** Points of a searched date that stay on the first screen. */
const pinnedPoints = 3;

/**
 * What to look at first, in sight without scrolling. While one date is searched
 * its own short list stays there, coin after coin.
 */
export function FirstLook() {
  const { catalogue, date } = useApp();
  const sheet = catalogue.sheet.value;
  if (sheet.is !== "sheet") return null;
  const searched = date.searched.value;
  const dated = sheet.sheet.look.filter((l) => l.scope === "date");
  const list = searched && dated.length > 0 ? dated.slice(0, pinnedPoints) : sheet.sheet.look.slice(0, 1);
  if (list.length === 0) return null;
  return (
    <div class="first-look" data-part="first-look" data-searched={searched || undefined}>
      <h3 class={searched ? undefined : "unseen"}>
        {searched ? text.inspect.searched(date.year.value) : text.inspect.first}
      </h3>
      {list.map((l) => (
        <FirstPoint key={pointKey(l)} l={l} lead={searched ? "" : text.inspect.first} />
      ))}
    </div>
  );
}

function FirstPoint({ l, lead }: { l: LookFor; lead: string }) {
  const view = useView();
  return (
    <button
      type="button"
      class="first-point"
      data-do="first-look"
      data-kind={l.kind}
      onClick={() => {
        view.openPoints.value = new Set([...view.openPoints.value, pointKey(l)]);
        requestAnimationFrame(() =>
          document
            .querySelector(`[data-point="${CSS.escape(pointKey(l))}"]`)
            ?.scrollIntoView({ block: "center" }),
        );
      }}
    >
      <I name={isIconName(l.tool) ? l.tool : "eye"} />
      <span class="first-words">
        <span class="first-name" lang={langOf(l, "name")}>
          {l.name}
        </span>
        <span class="quiet first-where">
          {[lead, (text.tools as Record<string, string>)[l.tool]].filter(Boolean).join(" · ")}
          {placeOf(l) && (
            <>
              {" · "}
              <span lang={langOf(l, "where")}>{placeOf(l)}</span>
            </>
          )}
        </span>
      </span>
    </button>
  );
}
