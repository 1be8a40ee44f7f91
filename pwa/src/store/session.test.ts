import { describe, expect, it } from "vitest";
import { Api } from "../sync/api";
import type { Shelf } from "./kept";
import { Session, sameKey } from "./session";

function memoryShelf(): Shelf & { all: Map<string, string> } {
  const all = new Map<string, string>();
  return {
    all,
    getItem: (k) => all.get(k) ?? null,
    setItem: (k, v) => void all.set(k, v),
    removeItem: (k) => void all.delete(k),
  };
}

function apiThat(respond: () => Response | Promise<Response>): Api {
  return new Api({
    fetch: (async () => respond()) as typeof fetch,
    token: () => null,
    onNotJoined: () => {},
  });
}

const joined = {
  token: "TOKEN",
  device: { id: "d1", name: "Android phone", role: "phone" },
  server: { name: "kitchen", fingerprint: "AbC-_9" },
};
const json = (body: unknown, status = 200) => new Response(JSON.stringify(body), { status });
const welcoming = () => apiThat(() => json(joined));
const refusing = (code: string) =>
  apiThat(() => json({ error: { code, sentence: "Said the server." } }, 403));

describe("Session", () => {
  it("joins, and is still joined at the next visit", async () => {
    const shelf = memoryShelf();
    const s = new Session(shelf);
    expect(s.state.value.at).toBe("out");
    await s.join(welcoming(), { secret: "SECRET", key: "AbC-_9" }, "Android phone");
    expect(s.state.value).toMatchObject({ at: "joined", device: { name: "Android phone" } });
    expect(new Session(shelf).token).toBe("TOKEN");
  });

  it("never keeps the secret", async () => {
    const shelf = memoryShelf();
    await new Session(shelf).join(welcoming(), { secret: "SECRET", key: "" }, "n");
    expect(JSON.stringify([...shelf.all])).not.toContain("SECRET");
  });

  it.each([
    ["secret-expired", "expired"],
    ["too-many-tries", "tooMany"],
    ["internal", "failed"],
  ])("refused with %s, says so and forgets the spent secret", async (code, fault) => {
    const s = new Session(memoryShelf());
    await s.join(refusing(code), { secret: "S", key: "" }, "n");
    expect(s.state.value).toMatchObject({ at: "out", fault, sentence: "Said the server.", invitation: null });
  });

  it("may try again with a secret that nobody answered", async () => {
    const s = new Session(memoryShelf());
    const invitation = { secret: "S", key: "" };
    await s.join(
      apiThat(() => Promise.reject(new Error("offline"))),
      invitation,
      "n",
    );
    expect(s.state.value).toMatchObject({ at: "out", fault: "unreachable", invitation });
  });

  it("refuses a laptop that isn't the one the code came from", async () => {
    const s = new Session(memoryShelf());
    await s.join(welcoming(), { secret: "S", key: "other" }, "n");
    expect(s.state.value).toMatchObject({ at: "out", fault: "wrongServer" });
    expect(s.token).toBeNull();
  });

  it("stays joined when a second code fails", async () => {
    const s = new Session(memoryShelf());
    await s.join(welcoming(), { secret: "S", key: "" }, "n");
    await s.join(refusing("secret-expired"), { secret: "OLD", key: "" }, "n");
    expect(s.state.value.at).toBe("joined");
  });

  it("ended by the laptop, forgets its token", async () => {
    const shelf = memoryShelf();
    const s = new Session(shelf);
    await s.join(welcoming(), { secret: "S", key: "" }, "n");
    s.ended("Ended.");
    expect(s.state.value).toMatchObject({ at: "out", fault: "ended", sentence: "Ended." });
    expect(new Session(shelf).token).toBeNull();
  });

  it("starts out if what was kept is damaged", () => {
    const shelf = memoryShelf();
    for (const damaged of ["{", "null", '{"token":""}', '{"token":"T"}', "[]"]) {
      shelf.all.set("panside.joined", damaged);
      expect(new Session(shelf).state.value.at).toBe("out");
    }
  });
});

describe("sameKey", () => {
  it.each([
    ["AbC-_9", "AbC-_9", true],
    ["ab:c9", "ABC9", true],
    ["", "ABC9", true],
    ["abc9", "abc8", false],
  ])("of %s and %s is %s", (a, b, same) => {
    expect(sameKey(a, b)).toBe(same);
  });
});
