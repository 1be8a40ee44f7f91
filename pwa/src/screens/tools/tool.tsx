import { text } from "../../text";
import { lazy } from "../../view/lazy";
import type { Tool } from "../../view/places";
import { BookScreen } from "./book";
import { DensityScreen } from "./density";
import { PileScreen } from "./pile";
import { SightScreen } from "./sight";

const ScaleScreen = lazy(
  () => import("./scale").then((m) => m.ScaleScreen),
  () => text.scale.loading,
);

/** The page of a tool. */
export function ToolScreen({ at }: { at: { tool: Tool; rest: string } }) {
  switch (at.tool) {
    case "book":
      return <BookScreen id={at.rest} />;
    case "sight":
      return <SightScreen />;
    case "density":
      return <DensityScreen />;
    case "pile":
      return <PileScreen />;
    case "scale":
      return <ScaleScreen rest={at.rest} />;
  }
}
