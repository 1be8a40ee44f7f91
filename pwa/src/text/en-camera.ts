/** What the camera that reads a scale's display says, in English; a part of the texts in en.ts. */
export const cameraTexts = {
  camera: {
    loading: "Loading …",
    intro:
      "For a scale without a cable: the phone’s camera reads its display. Set the scale to grams and put the phone on a stand or a stack of books, so that it looks straight at the digits.",
    privacy: "The picture is worked out on this phone. It is sent nowhere and never kept.",
    start: "Switch the camera on",
    typeInstead: "Type the weights",
    starting: "Switching the camera on …",
    stop: "Switch it off",
    on: "The camera is on.",
    off: "The camera is off.",
    frame: "Drag the four corners to those of the display’s window, with the digits and the g inside.",
    frameKeys: "With a keyboard: Tab to a corner, then the arrow keys; with Shift they go farther.",
    corners: ["Top left corner", "Top right corner", "Bottom right corner", "Bottom left corner"],
    framed: "That’s the display",
    reframe: "Frame it again",
    teach: [
      "Clear the pan. When the digits stand still, type what the display shows, with every digit.",
      "Now put a coin on. When the digits stand still, type what the display shows.",
      "Put something else on and type what the display shows.",
    ],
    shows: "The display shows",
    take: "Teach it",
    allLit: "Is every segment lit now?",
    allLitHint:
      "Most scales light them all just after they are switched on. Tap while they are lit; one coin’s weight is then enough.",
    digits: (n: number) => `All ${n} digits are lit`,
    taught: (n: number) => `${n} taught`,
    reading: "Ready. Put a coin on: its weight waits on the weighing screen for your tap.",
    reads: "By camera",
    nothing: "No sure number yet",
    use: (grams: string) => `Take ${grams}\u00a0g`,
    taken: "Confirmed by you",
    compare: "Is that what the display shows? Tap to take it.",
    putOn: "Put a coin on.",
    back: "Back to the camera",
    toWeighing: "To weighing",
    settings: "Camera",
    handsFree: "Hands-free doesn’t count what the camera reads: each weight needs your tap.",
    battery: "The battery is low. The camera uses a lot of it: plug the phone in.",
    asleep:
      "This browser lets the screen go dark. Set the phone to stay on longer, and plug it in: the camera uses the battery.",
    awake:
      "The screen stays on while the camera is, and both use the battery: for a long evening, plug the phone in.",
    share: "Share it with the table",
    unshare: "Stop sharing it",
    shareHint:
      "Everybody who joined the laptop then weighs with this display. Only its numbers leave this phone.",
    shared:
      "Shared: everybody at the table sees what this phone reads. Keep this page or the weighing page open.",
    alone: "Without the laptop the weights stay on this phone.",
    notShared: "The laptop didn’t take it. Nothing is lost; try again when the line is back.",
    verdictWaits: "The verdict comes once you have taken the weight.",
    by: (phone: string) => `By camera, ${phone}`,
    whys: {
      dark: "It’s too dark to read the display. Turn on a lamp, but not one that shines on the glass.",
      turn: "Something bright reflects in the display. Turn the phone or the scale a little until it’s gone.",
      shade: "The digits hardly stand out. Shade the display with a book, or switch its light on.",
      nearer: "The digits are too small or not sharp. Bring the phone nearer, then frame the display again.",
      covered: "Something is in front of the display. Take it away, and reading starts again.",
      moved: "The phone or the scale was moved. Frame the display again.",
      "other-unit":
        "A mark beside the digits changed. Switch the scale back to the unit it was taught in, or frame the display and teach it again.",
      "not-a-display":
        "What’s framed doesn’t look like those digits. Frame the display’s window, and type the digits as they stand there.",
      moving: "The digits are still changing. Wait until they stand still.",
      doubt: "This number can’t be read for sure. Lift the coin and put it on again, or type the weight.",
      off: "The display shows nothing. Switch the scale on.",
      busy: "The digits have only now changed. Wait until they stand still, then type them.",
      "bad-text": "That isn’t a number as a display shows it. Type every digit, with its point.",
      "too-alike": "One more weight is needed. Put something else on the scale and type what it shows.",
      "no-unit":
        "No unit mark is seen in the frame. Make the frame larger, so that it holds the g beside the digits too.",
    },
    troubles: {
      "not-encrypted":
        "This page has no encrypted address, so the browser keeps the camera from it. Open the app by the laptop’s secure address; until then type the weights.",
      none: "No camera was found. Plug one in and try again, or type the weights.",
      refused:
        "The camera isn’t allowed. Allow it for this page in the browser’s settings and try again, or type the weights.",
      held: "Another program holds the camera. Close it and try again, or type the weights.",
      failed: "The camera’s program didn’t start. Nothing is lost. Try again, or type the weights.",
    },
  },
};
