import type { CoinSource, Origin, Planchet, Span, WorldCoin } from "../../core/coins";
import { text } from "../../text";
import { yearsWords } from "./coin-words";
import { PlanchetFigures, Row, Whence, Years } from "./planchet-figures";

/** A coin as one line, which opens to its figures and their sources. */
export function CoinLine(props: {
  id?: string;
  name: string;
  /** What stands below its name. */
  below: string;
  coin: Planchet & { spans: Span[] };
  /** Of its years. */
  by: Origin | null;
  sources: Map<string, CoinSource>;
}) {
  const { coin, sources } = props;
  return (
    <details class="figure-row foreign-strike" data-coin={props.id}>
      <summary>
        <span class="coin-name">
          {props.name}
          <span class="quiet">{props.below}</span>
        </span>
        <span class="coin-figures figures">
          {yearsWords(coin)}
          <span class="quiet">{coin.mass.text}</span>
        </span>
      </summary>
      <div class="inside">
        <Row
          name={text.book.years}
          part="struck"
          words={<Years spans={coin.spans} />}
          whence={<Whence origin={props.by} sources={sources} hint="" />}
        />
        <PlanchetFigures p={coin} sources={sources} />
      </div>
    </details>
  );
}

/** Coins of every country, a line each. */
export function WorldCoins<C extends WorldCoin>(props: {
  coins: readonly C[];
  sources: Map<string, CoinSource>;
  /** What stands below a coin's name; its metal if left out. */
  below?(coin: C): string;
}) {
  return (
    <>
      {props.coins.map((c) => (
        <CoinLine
          key={c.id}
          id={c.id}
          name={text.book.worldCoin(c.countryName, c.name)}
          below={props.below?.(c) ?? c.alloy.name}
          coin={c}
          by={c}
          sources={props.sources}
        />
      ))}
    </>
  );
}
