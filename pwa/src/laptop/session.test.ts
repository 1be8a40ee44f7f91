import { describe, expect, it } from "vitest";
import type { LocalStorage } from "../device/local-storage";
import { Api } from "./api";
import { Session } from "./session";

function watchedStorage(): LocalStorage & { all: Map<string, string> } {
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
    language: () => "en",
    base: async () => "",
    onSilence: () => {},
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

/** The page's server has any key asked about. */
const hasKey = async () => "proven" as const;

describe("Session", () => {
  it("joins, and is still joined at the next visit", async () => {
    const storage = watchedStorage();
    const s = new Session(storage);
    expect(s.state.value.at).toBe("out");
    await s.join(welcoming(), { secret: "SECRET", key: "AbC-_9" }, "Android phone", hasKey);
    expect(s.state.value).toMatchObject({ at: "joined", device: { name: "Android phone" } });
    expect(new Session(storage).token).toBe("TOKEN");
  });

  it("never keeps the secret", async () => {
    const storage = watchedStorage();
    await new Session(storage).join(welcoming(), { secret: "SECRET", key: "" }, "n", hasKey);
    expect(JSON.stringify([...storage.all])).not.toContain("SECRET");
  });

  it.each([
    ["secret-expired", "expired"],
    ["too-many-tries", "tooMany"],
    ["internal", "failed"],
  ])("refused with %s, says so and forgets the spent secret", async (code, fault) => {
    const s = new Session(watchedStorage());
    await s.join(refusing(code), { secret: "S", key: "" }, "n", hasKey);
    expect(s.state.value).toMatchObject({ at: "out", fault, sentence: "Said the server.", invitation: null });
  });

  it("may try again with a secret that nobody answered", async () => {
    const s = new Session(watchedStorage());
    const invitation = { secret: "S", key: "" };
    await s.join(
      apiThat(() => Promise.reject(new Error("offline"))),
      invitation,
      "n",
      hasKey,
    );
    expect(s.state.value).toMatchObject({ at: "out", fault: "unreachable", invitation });
  });

  it("refuses a laptop that isn't the one the code came from", async () => {
    const s = new Session(watchedStorage());
    await s.join(welcoming(), { secret: "S", key: "other" }, "n", hasKey);
    expect(s.state.value).toMatchObject({ at: "out", fault: "wrongServer" });
    expect(s.token).toBeNull();
  });

  it("stays joined when a second code fails", async () => {
    const s = new Session(watchedStorage());
    await s.join(welcoming(), { secret: "S", key: "" }, "n", hasKey);
    await s.join(refusing("secret-expired"), { secret: "OLD", key: "" }, "n", hasKey);
    expect(s.state.value.at).toBe("joined");
  });

  it("ended by the laptop, forgets its token", async () => {
    const storage = watchedStorage();
    const s = new Session(storage);
    await s.join(welcoming(), { secret: "S", key: "" }, "n", hasKey);
    s.ended("Ended.", "TOKEN");
    expect(s.state.value).toMatchObject({ at: "out", fault: "ended", sentence: "Ended." });
    expect(new Session(storage).token).toBeNull();
  });

  it("sends no secret to a server without the invitation's key", async () => {
    for (const [proof, fault] of [
      ["other", "wrongServer"],
      ["silent", "unreachable"],
    ] as const) {
      let asked = 0;
      const api = apiThat(() => {
        asked++;
        return json(joined);
      });
      const s = new Session(watchedStorage());
      await s.join(api, { secret: "S", key: "AbC-_9" }, "n", async () => proof);
      expect(s.state.value).toMatchObject({ at: "out", fault });
      expect(asked).toBe(0);
    }
  });

  it("compares the key whole, and its case", async () => {
    for (const key of ["abC-_9", "AbC-_", "AbC_9", "AbC9"]) {
      const s = new Session(watchedStorage());
      await s.join(welcoming(), { secret: "S", key }, "n", hasKey);
      expect(s.state.value, key).toMatchObject({ at: "out", fault: "wrongServer" });
    }
  });

  it("asked to slow down, keeps the code that nobody looked at", async () => {
    const s = new Session(watchedStorage());
    const invitation = { secret: "S", key: "" };
    await s.join(refusing("slow-down"), invitation, "n", hasKey);
    expect(s.state.value).toMatchObject({
      at: "out",
      fault: "slow",
      sentence: "Said the server.",
      invitation,
    });
  });

  it("joined anew to the same laptop, ends its earlier joining there", async () => {
    const tokens: (string | null)[] = [];
    const api = new Api({
      fetch: (async (_path: string, init: RequestInit) => {
        if (init.method === "DELETE") tokens.push(new Headers(init.headers).get("Authorization"));
        return init.method === "DELETE" ? new Response(null, { status: 204 }) : json(answer);
      }) as typeof fetch,
      token: () => null,
      language: () => "en",
      base: async () => "",
      onSilence: () => {},
      onNotJoined: () => {},
    });
    let answer = joined;
    const s = new Session(watchedStorage());
    await s.join(api, { secret: "S", key: "AbC-_9" }, "n", hasKey);
    answer = { ...joined, token: "SECOND" };
    await s.join(api, { secret: "S2", key: "AbC-_9" }, "n", hasKey);
    answer = { ...joined, token: "THIRD", server: { name: "attic", fingerprint: "X" } };
    await s.join(api, { secret: "S3", key: "X" }, "n", hasKey);
    expect(s.token).toBe("THIRD");
    expect(tokens).toEqual(["Bearer TOKEN"]);
  });

  it("isn't ended by the end of an earlier joining, here or in another page", async () => {
    const storage = watchedStorage();
    const here = new Session(storage);
    await here.join(welcoming(), { secret: "S", key: "" }, "n", hasKey);
    const elsewhere = new Session(storage);
    await elsewhere.join(
      apiThat(() => json({ ...joined, token: "NEW" })),
      { secret: "S2", key: "" },
      "n",
      hasKey,
    );
    elsewhere.ended("Ended.", "TOKEN");
    expect(elsewhere.token).toBe("NEW");
    here.ended("Ended.", "TOKEN");
    expect(here.token).toBe("NEW");
    expect(new Session(storage).token).toBe("NEW");
  });

  it("starts out if what was kept is damaged", () => {
    const storage = watchedStorage();
    for (const damaged of ["{", "null", '{"token":""}', '{"token":"T"}', "[]"]) {
      storage.all.set("panside.joined", damaged);
      expect(new Session(storage).state.value.at).toBe("out");
    }
  });
});
