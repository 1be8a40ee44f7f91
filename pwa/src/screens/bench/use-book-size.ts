import { useEffect } from "preact/hooks";
import { type Diameter, diameterOf } from "../../bench/coin";
import { type CoinList, readCoins } from "../../core/coins";
import type { CoinOf } from "../../core/journal";
import { useAsking } from "../tools/use-asking";

/** What the coin book says of a coin's size. */
export function useBookSize(coin: CoinOf | undefined): { diameter: Diameter | null; asked: boolean } {
  const asking = useAsking<CoinList>("coins", readCoins);
  const { country = "", denomination = "" } = coin ?? {};
  useEffect(() => {
    if (denomination) void asking.ask({ text: "", country, denomination });
  }, [asking, country, denomination]);
  const view = asking.view.value;
  const coins = view.is === "answer" ? view.value.coins : [];
  return {
    diameter: diameterOf(coin, coins),
    asked: !denomination || view.is === "answer" || view.is === "failed",
  };
}
