import { beforeEach, describe, expect, it } from "vitest";
import { memoryStorage } from "../device/local-storage";
import type { SocketLike } from "../live/socket";
import { Key, Network, serverWith } from "./fixture";
import { createLaptop } from "./laptop";

const home = "https://10.0.0.5:8311";
const later = "https://10.0.0.77:8311";

let own: Key;
let other: Key;
let network: Network;
let stored: Map<string, string>;
let sockets: string[];
let spoken: string[];

const json = (body: unknown, status = 200) => new Response(JSON.stringify(body), { status });

/** A server that knows the device. */
const ours = (key: Key, addresses: string[]) =>
  serverWith(key, addresses, (path, init) => {
    const server = { name: "kitchen", fingerprint: key.fingerprint, addresses };
    const device = { id: "d", name: "phone", role: "phone" };
    if (path === "/api/v1/join") return json({ token: "NEW", device, server });
    if (init.method === "DELETE") return new Response(null, { status: 204 });
    return json({ device, server, can_rename: true });
  });

function visit() {
  return createLaptop({
    origin: home,
    fetch: network.fetch,
    crypto,
    storage: memoryStorage(stored),
    language: () => "es-MX",
    openSocket: (base, language) => {
      sockets.push(base);
      spoken.push(language);
      return {} as SocketLike;
    },
  });
}

beforeEach(async () => {
  [own, other] = await Promise.all([Key.make(), Key.make()]);
  network = new Network(home);
  sockets = [];
  spoken = [];
  stored = new Map();
  const server = { name: "kitchen", fingerprint: own.fingerprint, addresses: [home, later] };
  const device = { id: "d", name: "phone", role: "phone" };
  stored.set("panside.joined", JSON.stringify({ token: "T", device, server }));
});

describe("the laptop", () => {
  it("is asked at home", async () => {
    network.at.set(home, ours(own, [home]));
    const l = visit();
    await l.openConnection();
    expect(sockets).toEqual([""]);
    expect(spoken).toEqual(["es-MX"]);
    expect((await l.api.me()).server.name).toBe("kitchen");
  });

  it("that has moved is asked where it is, by line and API", async () => {
    network.at.set(later, ours(own, [later]));
    const l = visit();
    await l.openConnection();
    expect(sockets).toEqual([later]);
    await l.api.me();
    expect(network.tokens).toEqual([[later, "Bearer T"]]);
    expect(l.stranger.value).toBe(false);
  });

  it("proves itself before each line", async () => {
    network.at.set(home, ours(own, [home]));
    const l = visit();
    await l.openConnection();
    network.at.set(home, ours(other, [home]));
    await expect(l.openConnection()).rejects.toThrow();
    expect(sockets).toEqual([""]);
  });

  it("replaced by another is told nothing: no line, no token", async () => {
    network.at.set(home, ours(other, [home]));
    const l = visit();
    await expect(l.openConnection()).rejects.toThrow();
    await expect(l.api.me()).rejects.toMatchObject({ code: "unreachable" });
    expect(l.stranger.value).toBe(true);
    expect(l.session.state.value.at).toBe("joined");
    expect(sockets).toEqual([]);
    expect(network.tokens).toEqual([]);
  });

  it("set up anew is joined again by a fresh code", async () => {
    network.at.set(home, ours(other, [home]));
    const l = visit();
    await expect(l.openConnection()).rejects.toThrow();
    await l.join({ secret: "S", key: other.fingerprint }, "phone");
    await l.openConnection();
    expect(l.session.token).toBe("NEW");
    expect(l.stranger.value).toBe(false);
    expect(sockets).toEqual([""]);
    expect(network.tokens.flat()).not.toContain("Bearer T");
  });

  it("is left when the person wants it, and stays joined when it can't be told", async () => {
    const l = visit();
    expect(await l.leave()).toMatchObject({ code: "unreachable" });
    expect(l.session.token).toBe("T");
    network.at.set(home, ours(own, [home]));
    expect(await l.leave()).toBeNull();
    expect(l.session.state.value).toMatchObject({ at: "out", fault: "left" });
    expect(stored.has("panside.joined")).toBe(false);
  });
});
