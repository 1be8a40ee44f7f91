import { text } from "../../text";
import { lazy } from "../../view/lazy";
import type { Tool } from "../../view/places";
import { BookScreen } from "./book";
import { DensityScreen } from "./density";
import { FitsScreen } from "./fits";
import { IdentifyScreen } from "./identify";
import { RollScreen } from "./roll";

const ScaleScreen = lazy(
  () => import("./scale").then((m) => m.ScaleScreen),
  () => text.scale.loading,
);

const RingScreen = lazy(
  () => import("./ring").then((m) => m.RingScreen),
  () => text.ring.loading,
);

const CameraScreen = lazy(
  () => import("./camera").then((m) => m.CameraScreen),
  () => text.camera.loading,
);

const SecondLookScreen = lazy(
  () => import("../bench/bench").then((m) => m.SecondLookScreen),
  () => text.bench.loading,
);

/** The page of a tool. */
export function ToolScreen({ at }: { at: { tool: Tool; rest: string } }) {
  switch (at.tool) {
    case "book":
      return <BookScreen id={at.rest} />;
    case "fits":
      return <FitsScreen />;
    case "identify":
      return <IdentifyScreen begin={at.rest} />;
    case "ring":
      return <RingScreen />;
    case "camera":
      return <CameraScreen />;
    case "second-look":
      return <SecondLookScreen rest={at.rest} />;
    case "density":
      return <DensityScreen />;
    case "roll":
      return <RollScreen />;
    case "scale":
      return <ScaleScreen rest={at.rest} />;
  }
}
