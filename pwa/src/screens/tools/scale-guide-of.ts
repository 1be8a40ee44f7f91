import type { App } from "../../app/app";
import { browserShelf } from "../../device/kept";
import { ScaleGuide } from "../../scale/scale-guide";

const guides = new WeakMap<App, ScaleGuide>();

/** The app's one check under way; it goes on where it was left. */
export function guideOf(app: App): ScaleGuide {
  let guide = guides.get(app);
  if (!guide) {
    guide = new ScaleGuide(app.core, browserShelf());
    guides.set(app, guide);
  }
  return guide;
}
