import type { Tool } from "../../app/places";
import { BookScreen } from "./book";
import { DensityScreen } from "./density";
import { PileScreen } from "./pile";
import { SightScreen } from "./sight";

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
  }
}
