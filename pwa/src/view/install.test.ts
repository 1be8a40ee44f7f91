import { describe, expect, it } from "vitest";
import { Install, stepsFor } from "./install";

const offer = (outcome: "accepted" | "dismissed") => {
  const o = { shown: 0, prompt: async () => void o.shown++, userChoice: Promise.resolve({ outcome }) };
  return o;
};

describe("Install", () => {
  it("takes the browser's offer at a tap, and then is being installed", async () => {
    const install = new Install(false);
    expect(install.state.value).toBe("steps");
    const o = offer("accepted");
    install.offered(o);
    expect(install.state.value).toBe("offered");
    await install.take();
    expect(o.shown).toBe(1);
    expect(install.state.value).toBe("taken");
  });

  it("names the steps once an offer was turned down, for it is good for one answer", async () => {
    const install = new Install(false);
    const o = offer("dismissed");
    install.offered(o);
    await install.take();
    await install.take();
    expect(o.shown).toBe(1);
    expect(install.state.value).toBe("steps");
    install.installed(); // by the browser's menu
    expect(install.state.value).toBe("taken");
  });

  it("has nothing to offer where the page is open as an app", () => {
    const install = new Install(true);
    install.offered(offer("accepted"));
    expect(install.state.value).toBe("app");
  });

  it.each([
    ["Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X)", 5, "ios"],
    ["Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15)", 5, "ios"], // a tablet that calls itself a laptop
    ["Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15)", 0, "desktop"],
    ["Mozilla/5.0 (Linux; Android 15; Phone)", 5, "android"],
    ["Mozilla/5.0 (X11; Linux x86_64)", 0, "desktop"],
  ])("tells %s with %i touch points its own steps", (agent, touch, steps) => {
    expect(stepsFor(agent, touch)).toBe(steps);
  });
});
