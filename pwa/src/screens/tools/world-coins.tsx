import type { CoinSource, WorldCoin } from "../../core/coins";
import { text } from "../../text";
import { yearsWords } from "./coin-words";
import { PlanchetFigures, Row, Whence, Years } from "./planchet-figures";

/** Coins of every country, a line each; a line opens to its figures and their sources. */
export function WorldCoins<C extends WorldCoin>(props: {
  coins: readonly C[];
  sources: Map<string, CoinSource>;
  /** What stands below a coin's name; its metal if left out. */
  below?(coin: C): string;
}) {
  return (
    <>
      {props.coins.map((c) => (
        <details key={c.id} class="figure-row foreign-strike" data-coin={c.id}>
          <summary>
            <span class="coin-name">
              {text.book.worldCoin(c.countryName, c.name)}
              <span class="quiet">{props.below?.(c) ?? c.alloy.name}</span>
            </span>
            <span class="coin-figures figures">
              {yearsWords(c)}
              <span class="quiet">{c.mass.text}</span>
            </span>
          </summary>
          <div class="inside">
            <Row
              name={text.book.years}
              part="struck"
              words={<Years spans={c.spans} />}
              whence={<Whence origin={c} sources={props.sources} hint="" />}
            />
            <PlanchetFigures p={c} sources={props.sources} />
          </div>
        </details>
      ))}
    </>
  );
}
