import type { App } from "../../app/interface";
import { browserStorage } from "../../device/local-storage";
import { ScaleGuide } from "../../scale/scale-guide";

const guides = new WeakMap<App, ScaleGuide>();

/** The app's one check under way; it goes on where it was left. */
export function guideOf(app: App): ScaleGuide {
  let guide = guides.get(app);
  if (!guide) {
    guide = new ScaleGuide(app.core, browserStorage());
    guides.set(app, guide);
    app.core.language.subscribe(() => void guide?.sayAgain());
  }
  return guide;
}
