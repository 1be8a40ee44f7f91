/** What the second look says of close-ups, in English; a part of the texts in en.ts. */
import { writing } from "./writing";

const { figure } = writing("en");

export const closeUpTexts = {
  closeUp: {
    title: "Close-up, without a rim in it",
    hint: "A close-up gets its millimeters from your picture of the whole coin, or from a ruler photographed at the same zoom.",
    none: "This picture has no millimeters yet.",
    byWhole: (share: string) => `Millimeters by its place on the whole coin, sure to about ${share}.`,
    byRuler: (share: string) => `Millimeters by a ruler at this zoom, sure to about ${share}.`,
    needsSize: "The coin’s diameter isn’t known, so this has no millimeters. Type it in the field for it.",
    onWhole: "By the whole coin",
    find: "Find it on the whole coin",
    finding: "Looking for its place …",
    another: "Choose a picture of the whole coin",
    place: "The whole coin with the close-up’s outline",
    found: (degrees: string) => `Found; it is turned by ${figure(degrees)}°.`,
    lookAtIt: "Look whether the outline lies right. If not, undo it.",
    byLens: "By a ruler at this zoom",
    lensHint:
      "Photograph a ruler once with the same camera, zoom and distance. It then scales every picture taken so. Kept on this device.",
    lens: (name: string, mm: string) => `${name}: ${figure(mm)}\u00a0mm across`,
    otherShape: "That zoom’s pictures have another shape. This one is of another camera, or was cut.",
    newLens: "Photograph a ruler",
    take: "Take the ruler",
    choose: "Choose a photo of a ruler",
    points: "Put the two points on two marks of the ruler, as far apart as you can.",
    point: (n: number) => `Point ${n} on the ruler`,
    picture: "The ruler.",
    apart: "Apart, mm",
    name: "Camera and zoom",
    nameHint: "Microscope, 60×",
    remember: "Remember it and use it",
    needs: "Type how far apart the points are, and a name for camera and zoom.",
    cancel: "Leave the ruler",
    forget: (name: string) => `Forget ${name}`,
    forgotten: (name: string) => `${name} is forgotten.`,
    putBack: "Put it back",
    keep: "Keep this scale with the find",
    kept: "This scale is kept with the find.",
    refusals: {
      "none-there":
        "There is no picture of the whole coin here. Take or choose one, or photograph a ruler at this zoom.",
      "no-rim": "The picture of the whole coin shows no rim. Choose another one.",
      "too-small": "One of the two has too few pixels. Take the whole coin from nearer.",
      flat: "There is too little relief in one of them to find its place by. Turn the lamp to the side.",
      "no-fit":
        "Its place wasn’t found, so it has no millimeters. Take both with the lamp on the same side of the coin, and show at least a sixth of it.",
      ambiguous:
        "It fits about as well in two places, so neither is taken. Take more of the coin into the close-up.",
      stopped: "Stopped. Nothing has changed.",
      left: "Stopped when the page was left. Nothing is lost.",
      failed: "The program for pictures couldn’t be had or broke down. Nothing is lost; try again.",
    },
  },
};
