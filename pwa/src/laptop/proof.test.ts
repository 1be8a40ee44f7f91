import { describe, expect, it } from "vitest";
import { hanging, Key, Network, serverWith } from "./fixture";
import { originsIn, prove, sameKey } from "./proof";

const origin = "https://10.0.0.5:8311";

async function setup() {
  const [own, other] = await Promise.all([Key.make(), Key.make()]);
  const network = new Network(origin);
  const ask = (stop = new AbortController().signal) =>
    prove({ fetch: network.fetch, crypto }, origin, own.fingerprint, stop);
  return { own, other, network, ask };
}

const json =
  (body: unknown, status = 200) =>
  () =>
    new Response(JSON.stringify(body), { status });

describe("prove", () => {
  it("believes the server with the key, and hears its addresses", async () => {
    const { own, network, ask } = await setup();
    network.at.set(
      origin,
      serverWith(own, ["https://panside.local:8311", "http://10.0.0.5", "https://a/b", 7 as never]),
    );
    expect(await ask()).toEqual({ is: "proven", addresses: ["https://panside.local:8311"] });
  });

  it("asks anew each time", async () => {
    const { own, network, ask } = await setup();
    const nonces = new Set<string>();
    const answer = serverWith(own);
    network.at.set(origin, (path, init, host) => {
      nonces.add(JSON.parse(String(init.body)).nonce);
      return answer(path, init, host);
    });
    await ask();
    await ask();
    expect([...nonces].every((n) => /^[A-Za-z0-9_-]{22}$/.test(n))).toBe(true);
    expect(nonces.size).toBe(2);
  });

  it("doesn't believe one with another key", async () => {
    const { other, network, ask } = await setup();
    network.at.set(origin, serverWith(other));
    expect(await ask()).toEqual({ is: "other" });
  });

  it("doesn't believe an answer for another host, or an old one", async () => {
    const { own, network, ask } = await setup();
    const sayingFor = (host: string, nonce?: string) =>
      network.at.set(origin, async (_path, init) => {
        const asked = JSON.parse(String(init.body)).nonce;
        return new Response(JSON.stringify(await own.answer(host, nonce ?? asked)));
      });
    sayingFor("10.0.0.6:8311");
    expect(await ask()).toEqual({ is: "other" });
    sayingFor("10.0.0.5:8311", "AAAAAAAAAAAAAAAAAAAAAA");
    expect(await ask()).toEqual({ is: "other" });
    sayingFor("10.0.0.5:8311");
    expect(await ask()).toEqual({ is: "proven", addresses: [] });
  });

  it("doesn't believe the right key with somebody else's signature", async () => {
    const { own, other, network, ask } = await setup();
    network.at.set(origin, async (_path, init, host) => {
      const { nonce } = JSON.parse(String(init.body));
      const { key } = await own.answer(host, nonce);
      const { signature } = await other.answer(host, nonce);
      return new Response(JSON.stringify({ key, signature }));
    });
    expect(await ask()).toEqual({ is: "other" });
  });

  it.each([
    ["a web page", () => new Response("<h1>Router</h1>"), "other"],
    ["a page that isn't there", json({}, 404), "other"],
    ["a refusal to vouch for this address", json({ error: { code: "wrong-origin" } }, 403), "other"],
    ["nothing of use", json({ key: "AAAA", signature: "!" }), "other"],
    ["null", json(null), "other"],
    ["too many questions", json({}, 429), "silent"],
    ["trouble", json({}, 500), "silent"],
  ] as const)("of a server that answers with %s", async (_, answer, is) => {
    const { network, ask } = await setup();
    network.at.set(origin, answer);
    expect(await ask()).toEqual({ is });
  });

  it("knows silence, at once and when given up", async () => {
    const { network, ask } = await setup();
    expect(await ask()).toEqual({ is: "silent" });
    network.at.set(origin, hanging);
    const stop = new AbortController();
    const answer = ask(stop.signal);
    stop.abort();
    expect(await answer).toEqual({ is: "silent" });
  });

  it("can't check without cryptography", async () => {
    const { own, network } = await setup();
    network.at.set(origin, serverWith(own));
    const bare = { getRandomValues: crypto.getRandomValues.bind(crypto) };
    const stop = new AbortController().signal;
    expect(await prove({ fetch: network.fetch, crypto: bare }, origin, own.fingerprint, stop)).toEqual({
      is: "unable",
    });
    expect(network.asked).toEqual([]);
  });
});

describe("sameKey", () => {
  it.each([
    ["AbC-_9", "AbC-_9", true],
    ["AbC-_9", "abC-_9", false],
    ["AbC-_9", "AbC-_", false],
    ["AbC9", "AbC-9", false],
    ["AbC-9", "AbC_9", false],
    ["", "", false],
    ["", "AbC", false],
  ])("of %j and %j is %s", (a, b, same) => {
    expect(sameKey(a, b)).toBe(same);
  });
});

describe("originsIn", () => {
  it("lets encrypted origins through and nothing else", () => {
    const good = ["https://10.0.0.5:8311", "https://[fd00::1]:8311", "https://panside.local"];
    const bad = [
      "http://10.0.0.5",
      "https://a/",
      "https://a/b",
      "https://u:p@a",
      "javascript:1",
      "",
      null,
      3,
      "https://",
    ];
    expect(originsIn([...good, ...bad])).toEqual(good);
    expect(originsIn("https://a")).toEqual([]);
  });
});
