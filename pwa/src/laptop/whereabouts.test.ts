import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { hanging, Key, Network, serverWith } from "./fixture";
import { answerLimitMs, nextAfterMs, Whereabouts } from "./whereabouts";

const home = "https://10.0.0.5:8311";
const later = "https://10.0.0.77:8311";
const name = "https://panside-kitchen.local:8311";

let own: Key;
let other: Key;
let network: Network;
let shelf: Map<string, string>;
let fingerprint: string;

function visit(origin = home): Whereabouts {
  return new Whereabouts({
    origin,
    fetch: network.fetch,
    crypto,
    shelf: {
      getItem: (k) => shelf.get(k) ?? null,
      setItem: (k, v) => void shelf.set(k, v),
      removeItem: (k) => void shelf.delete(k),
    },
    fingerprint: () => fingerprint,
  });
}

beforeEach(async () => {
  [own, other] = await Promise.all([Key.make(), Key.make()]);
  network = new Network(home);
  shelf = new Map();
  fingerprint = own.fingerprint;
});

afterEach(() => {
  vi.useRealTimers();
});

describe("Whereabouts", () => {
  it("finds the server at home, and asks nobody else", async () => {
    network.at.set(home, serverWith(own, [home, later]));
    const w = visit();
    expect(await w.find()).toEqual({ is: "here", base: "" });
    expect(await w.find()).toEqual({ is: "here", base: "" });
    expect(network.asked).toEqual([`POST ${home}/api/v1/prove`]);
    expect(w.addresses).toEqual([home, later]);
  });

  it("finds it at an address it was told of before, after a new visit too", async () => {
    network.at.set(home, serverWith(own, [home, later]));
    await visit().find();
    network.at.clear();
    network.at.set(later, serverWith(own, [later]));
    const w = visit();
    expect(await w.find()).toEqual({ is: "moved", base: later });
    expect(w.addresses).toEqual([later, home]);
  });

  it("never forgets an address", async () => {
    const w = visit();
    w.remember([home]);
    w.remember([later]);
    w.remember([name, home]);
    expect(visit().addresses).toEqual([home, later, name]);
  });

  it("prefers the .local name over other addresses", async () => {
    const w = visit();
    w.remember([later, name]);
    network.at.set(later, serverWith(own));
    network.at.set(name, serverWith(own));
    expect(await w.find()).toEqual({ is: "moved", base: name });
  });

  it("doesn't wait for an address that hangs", async () => {
    vi.useFakeTimers();
    const w = visit();
    w.remember([later]);
    network.at.set(home, hanging);
    network.at.set(later, serverWith(own));
    const found = w.find();
    await vi.advanceTimersByTimeAsync(nextAfterMs - 1);
    expect(network.asked).toHaveLength(1);
    await vi.advanceTimersByTimeAsync(1);
    vi.useRealTimers();
    expect(await found).toEqual({ is: "moved", base: later });
  });

  it("gives up on those that hang", async () => {
    vi.useFakeTimers();
    const w = visit();
    w.remember([later]);
    network.at.set(home, hanging);
    network.at.set(later, hanging);
    const found = w.find();
    await vi.advanceTimersByTimeAsync(answerLimitMs + nextAfterMs);
    expect(await found).toEqual({ is: "silent" });
  });

  it("knows a stranger at the page's own address, and looks on for its own server", async () => {
    const w = visit();
    network.at.set(home, serverWith(other));
    expect(await w.find()).toEqual({ is: "stranger" });
    w.remember([later]);
    network.at.set(later, serverWith(own));
    expect(await w.find()).toEqual({ is: "moved", base: later });
  });

  it("asks again when in doubt, once for all who ask", async () => {
    network.at.set(home, serverWith(own));
    const w = visit();
    await w.find();
    w.doubt();
    await Promise.all([w.find(), w.find()]);
    expect(network.asked).toHaveLength(2);
  });

  it("asks again after silence", async () => {
    const w = visit();
    expect(await w.find()).toEqual({ is: "silent" });
    network.at.set(home, serverWith(own));
    expect(await w.find()).toEqual({ is: "here", base: "" });
  });

  it("starts over when the network is another, and those who waited get the new answer", async () => {
    const w = visit();
    network.at.set(home, hanging);
    const waiting = w.find();
    network.at.set(home, serverWith(own));
    w.again();
    expect(await waiting).toEqual({ is: "here", base: "" });
  });

  it("leaves out ports that the page's policy forbids", async () => {
    const w = visit();
    w.remember(["https://10.0.0.5:9000", later]);
    await w.find();
    expect(network.asked.map((a) => new URL(a.split(" ")[1] ?? "").host)).toEqual([
      "10.0.0.5:8311",
      "10.0.0.77:8311",
    ]);
  });

  it("forgets what it knew of one server when another was joined", async () => {
    network.at.set(home, serverWith(own, [later]));
    const w = visit();
    await w.find();
    fingerprint = other.fingerprint;
    expect(w.addresses).toEqual([]);
    expect(await w.find()).toEqual({ is: "stranger" });
  });

  it("is content with the page's own server where nothing can be proved", async () => {
    fingerprint = "";
    expect(await visit().find()).toEqual({ is: "here", base: "" });
    fingerprint = own.fingerprint;
    expect(await visit("http://localhost:5273").find()).toEqual({ is: "here", base: "" });
    expect(network.asked).toEqual([]);
  });

  it("starts with nothing if what was kept is damaged", () => {
    for (const damaged of ["{", "[]", '{"addresses":3}', `{"key":"${own.fingerprint}","addresses":[1]}`]) {
      shelf.set("panside.addresses", damaged);
      expect(visit().addresses).toEqual([]);
    }
  });
});

describe("the lasting address", () => {
  it("is the .local name if the device reaches the server there", async () => {
    network.at.set(home, serverWith(own, [home, name]));
    network.at.set(name, serverWith(own));
    expect(await visit().lasting(own.fingerprint)).toBe(name);
  });

  it.each([
    ["the name isn't answered", () => network.at.set(home, serverWith(own, [name]))],
    ["there is no name", () => network.at.set(home, serverWith(own, [later]))],
    [
      "another server answers to the name",
      () => {
        network.at.set(home, serverWith(own, [name]));
        network.at.set(name, serverWith(other));
      },
    ],
    [
      "the page's own server isn't the invitation's",
      () => {
        network.at.set(home, serverWith(other, [name]));
        network.at.set(name, serverWith(own));
      },
    ],
  ])("isn't there when %s", async (_, arrange) => {
    arrange();
    expect(await visit().lasting(own.fingerprint)).toBeNull();
  });

  it("isn't looked for from a .local name, or without a key", async () => {
    expect(await visit(name).lasting(own.fingerprint)).toBeNull();
    expect(await visit().lasting("")).toBeNull();
    expect(network.asked).toEqual([]);
  });
});
