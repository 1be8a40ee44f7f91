import { useSignal } from "@preact/signals";
import { text } from "../../text";
import { addressOf } from "../../view/places";
import { Chips } from "../form/controls";
import { DialSheet } from "./dial-sheet";
import { BenchPage } from "./page";
import "./dial.css";

const papers = ["a4", "letter"] as const;
type Paper = (typeof papers)[number];

/** What the address of the second look says for the dial. */
export const dialPlace = "dial";

/** Where sheets are of the American size, by the language of the device. */
const letterLands = /-(US|CA|MX|PH|CO|CL|VE|GT|CR|PR)\b/;
const firstPaper = (): Paper => (letterLands.test(navigator.language) ? "letter" : "a4");

/** The paper dial, to be printed from phone or laptop, also without the laptop. */
export function DialPage() {
  const paper = useSignal<Paper>(firstPaper());
  return (
    <BenchPage
      title={text.dial.title}
      back={{ href: addressOf("second-look"), words: text.toolbox.names["second-look"] }}
    >
      <div class="dial-choice">
        <p>{text.dial.intro}</p>
        <Chips
          name="paper"
          label={text.dial.paper}
          value={paper.value}
          options={papers}
          words={text.dial.papers}
          onPick={(p) => {
            paper.value = p ?? paper.value;
          }}
        />
        <button type="button" class="button main" data-do="print-dial" onClick={() => print()}>
          {text.dial.printNow}
        </button>
        <p class="quiet small">{text.dial.printHint}</p>
      </div>
      <DialSheet paper={paper.value} />
    </BenchPage>
  );
}
