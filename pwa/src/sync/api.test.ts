import { describe, expect, it } from "vitest";
import { Api, Refusal, unreachable } from "./api";

interface Asked {
  path: string;
  init: RequestInit;
}

function setup(respond: () => Response | Promise<Response>, token: string | null = "T") {
  const asked: Asked[] = [];
  const ended: string[] = [];
  const api = new Api({
    fetch: (async (path: string, init: RequestInit) => {
      asked.push({ path, init });
      return respond();
    }) as typeof fetch,
    token: () => token,
    onNotJoined: (r) => ended.push(r.sentence),
  });
  return { api, asked, ended };
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
    expect(ended).toEqual(["Ended."]);
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

  it("ends a device with an odd id safely", async () => {
    const { api, asked } = setup(() => new Response(null, { status: 204 }));
    await api.endDevice("a/b?c");
    expect(asked[0]?.path).toBe("/api/v1/devices/a%2Fb%3Fc");
  });
});
