import { expect, it } from "vitest";
import { CoreClient } from "../core/client";
import { fakeShown } from "../core/shown-fake";
import type { Placement } from "../live/wire";
import { LiveVerdict } from "./live-verdict";

const verdict = (headline: string) => ({
  ok: { call: "ordinary", claim: "ordinary/bronze", headline, spoken: headline, decisive: true },
});

it("says the verdict on the glass again in the core's new language, and keeps it on the next look", async () => {
  let language = "en";
  const words = () => verdict(language === "en" ? "Bronze cent." : "Centavo de bronce.");
  const core = new CoreClient(
    {
      load: async () => {},
      speak: async (to) => {
        language = to;
      },
      exchange: () => Promise.reject(new Error("no notebook here")),
      call: async (method, json) => (method === "shown" ? fakeShown(json, words) : JSON.stringify(words())),
    },
    () => Promise.reject(new Error("no laptop")),
    () => {},
  );
  await core.load();
  const glass = new LiveVerdict(
    core,
    (act) => act(),
    () => 0,
  );
  const question = {
    country: "US",
    denomination: "cent",
    year: 0,
    mint: "",
    mean_g: 3.11,
    u_g: 0.008,
    resolution_g: 0.01,
  } as never;
  glass.take({ question, placement: 1 as Placement, message: 1, settled: true });
  await new Promise((done) => setTimeout(done));
  expect(glass.current.value?.verdict.headline).toBe("Bronze cent.");
  await core.speak("es");
  await glass.sayAgain();
  expect(glass.current.value?.verdict.headline).toBe("Centavo de bronce.");
  glass.clear();
  await new Promise((done) => setTimeout(done));
  expect(glass.last.value?.verdict.headline).toBe("Centavo de bronce.");
});
