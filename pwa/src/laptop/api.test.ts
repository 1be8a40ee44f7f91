import { describe, expect, it } from "vitest";
import { Api, Refusal, unreachable } from "./api";

interface Asked {
  path: string;
  init: RequestInit;
}

function setup(
  respond: () => Response | Promise<Response>,
  token: string | null = "T",
  base: string | null = "",
) {
  const asked: Asked[] = [];
  const ended: [sentence: string, token: string][] = [];
  let silences = 0;
  const api = new Api({
    fetch: (async (path: string, init: RequestInit) => {
      asked.push({ path, init });
      return respond();
    }) as typeof fetch,
    token: () => token,
    language: () => "es-MX",
    base: async () => base,
    onSilence: () => {
      silences++;
    },
    onNotJoined: (r, t) => void ended.push([r.sentence, t]),
  });
  return { api, asked, ended, silences: () => silences };
}

const json = (body: unknown, status = 200) => new Response(JSON.stringify(body), { status });
const joined = {
  token: "NEW",
  device: { id: "d", name: "Android phone", role: "phone" },
  server: { name: "laptop", fingerprint: "f" },
};

describe("Api", () => {
  it("swaps a secret for a token, and sends the secret in the body only", async () => {
    const { api, asked } = setup(() => json(joined), null);
    expect((await api.join("SECRET", "Android phone")).token).toBe("NEW");
    expect(asked[0]?.path).toBe("/api/v1/join");
    expect(asked[0]?.init.body).toBe('{"secret":"SECRET","name":"Android phone"}');
    expect(asked[0]?.init.headers).not.toHaveProperty("Authorization");
  });

  it("says in which language the laptop’s sentences should be, before a token is there too", async () => {
    const { api, asked } = setup(() => json(joined), null);
    await api.join("SECRET", "n");
    await api.me().catch(() => {});
    expect(asked.map((a) => new Headers(a.init.headers).get("Accept-Language"))).toEqual(["es-MX", "es-MX"]);
  });

  it("shows an earlier token to no server that a code leads to", async () => {
    const { api, asked } = setup(() => json(joined), "OLD", "https://elsewhere:8311");
    await api.join("SECRET", "n");
    expect(asked[0]?.path).toBe("/api/v1/join");
    expect(JSON.stringify(asked[0]?.init)).not.toContain("OLD");
  });

  it("asks where the laptop is now, and nobody when it is nowhere", async () => {
    const moved = setup(() => json({ device: {}, server: {} }), "T", "https://10.0.0.77:8311");
    await moved.api.me();
    expect(moved.asked[0]?.path).toBe("https://10.0.0.77:8311/api/v1/me");
    const lost = setup(() => json({}), "T", null);
    await expect(lost.api.me()).rejects.toMatchObject({ code: unreachable });
    expect(lost.asked).toEqual([]);
  });

  it("tells when nothing answered", async () => {
    const { api, silences } = setup(() => Promise.reject(new TypeError("network")));
    await expect(api.devices()).rejects.toBeInstanceOf(Refusal);
    expect(silences()).toBe(1);
  });

  it("leaves by its token, or by an earlier one", async () => {
    const { api, asked } = setup(() => new Response(null, { status: 204 }), "T", "https://10.0.0.77:8311");
    await api.leave();
    await api.leave("OLD");
    expect(asked.map((a) => [a.init.method, a.path])).toEqual(
      Array(2).fill(["DELETE", "https://10.0.0.77:8311/api/v1/me"]),
    );
    expect(asked.map((a) => new Headers(a.init.headers).get("Authorization"))).toEqual([
      "Bearer T",
      "Bearer OLD",
    ]);
  });

  it("reads the server’s addresses, present ones first", async () => {
    const server = {
      name: "k",
      fingerprint: "f",
      addresses: ["https://b:1", 3],
      earlier_addresses: ["https://a:1", "http://x"],
    };
    const { api } = setup(() => json({ device: {}, server }));
    expect((await api.me()).server.addresses).toEqual(["https://b:1", "https://a:1"]);
  });

  it("refuses an answer without a token", async () => {
    const { api } = setup(() => json({ ...joined, token: "" }));
    await expect(api.join("S", "n")).rejects.toBeInstanceOf(Refusal);
  });

  it("carries the token in a header", async () => {
    const { api, asked } = setup(() => json({ device: {}, server: {} }));
    await api.me();
    expect(asked[0]?.init.headers).toMatchObject({ Authorization: "Bearer T" });
  });

  it("passes on the server's sentence", async () => {
    const { api, ended } = setup(() =>
      json({ error: { code: "secret-expired", sentence: "Too old." } }, 403),
    );
    await expect(api.join("S", "n")).rejects.toMatchObject({ code: "secret-expired", sentence: "Too old." });
    expect(ended).toEqual([]);
  });

  it("tells when this device was ended", async () => {
    const { api, ended } = setup(() => json({ error: { code: "not-joined", sentence: "Ended." } }, 401));
    await expect(api.me()).rejects.toMatchObject({ code: "not-joined" });
    expect(ended).toEqual([["Ended.", "T"]]);
  });

  it("shows nothing of a page that isn't the server's own", async () => {
    const { api } = setup(() => new Response("<h1>Router login</h1>", { status: 502 }));
    await expect(api.devices()).rejects.toMatchObject({ code: "internal", sentence: "" });
  });

  it("knows no answer from a refusal", async () => {
    const { api } = setup(() => Promise.reject(new TypeError("network")));
    await expect(api.me()).rejects.toMatchObject({ code: unreachable });
  });

  it("hands the core's fault on as an answer, whatever its status", async () => {
    const body = '{"error":{"code":"no-such-issue","sentence":"None."}}';
    const { api } = setup(() => new Response(body, { status: 404 }));
    expect(await api.core("judge", "{}")).toBe(body);
  });

  it("hands the sync whatever came as an answer, and null when none did", async () => {
    const refusal = '{"error":{"code":"wire-version","sentence":"Older."}}';
    const refused = setup(() => new Response(refusal, { status: 409 }));
    const answer = await refused.api.ask("POST", "/api/v1/journal", "{}");
    expect([answer?.status, new TextDecoder().decode(answer?.bytes)]).toEqual([409, refusal]);
    const silent = setup(() => Promise.reject(new TypeError("network")));
    expect(await silent.api.ask("GET", "/api/v1/journal")).toBeNull();
    expect(silent.silences()).toBe(1);
    const torn = new ReadableStream({ start: (c) => c.error(new TypeError("the line broke")) });
    expect(await setup(() => new Response(torn)).api.ask("GET", "/api/v1/journal")).toBeNull();
    expect(await setup(() => json({}), "T", null).api.ask("GET", "/api/v1/journal")).toBeNull();
    const ended = setup(() => json({ error: { code: "not-joined", sentence: "Ended." } }, 401));
    expect((await ended.api.ask("GET", "/api/v1/journal"))?.status).toBe(401);
    expect(ended.ended).toEqual([["Ended.", "T"]]);
  });

  it("ends a device with an odd id safely", async () => {
    const { api, asked } = setup(() => new Response(null, { status: 204 }));
    await api.endDevice("a/b?c");
    expect(asked[0]?.path).toBe("/api/v1/devices/a%2Fb%3Fc");
  });
});
