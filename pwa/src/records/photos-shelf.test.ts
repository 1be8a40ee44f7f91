import "fake-indexeddb/auto";
import { createHash } from "node:crypto";
import { describe, expect, it } from "vitest";
import { lockOfOnePage } from "../device/lock";
import { type Exchange, Refusal } from "../laptop/api";
import { PhoneDb } from "./db";
import { Journal } from "./journal";
import { FakeNotebook } from "./journal-fake";
import type { Bytes, PhotoTools } from "./photos";
import { PhotoShelf } from "./photos-shelf";

const sha256 = (b: Uint8Array) => createHash("sha256").update(b).digest("hex");

let names = 0;

function shelfOf(exchange: Exchange): PhotoShelf {
  const core = new FakeNotebook().core;
  const db = new PhoneDb(`shelf-${++names}`);
  const journal = new Journal({ db, core, lock: lockOfOnePage(), now: () => 0 });
  const tools = { sha256: async (b: Bytes) => sha256(b) } as PhotoTools;
  return new PhotoShelf(journal, exchange, tools);
}

it("shows a photo of the laptop only if it is the one that was asked for", async () => {
  const right: Bytes = new Uint8Array([0xff, 0xd8, 0xff, 1, 2, 3]);
  let sent = right;
  const shelf = shelfOf(async () => new Response(sent));
  expect((await shelf.whole(sha256(right)))?.size).toBe(6);
  sent = new Uint8Array([0xff, 0xd8, 0xff, 1, 2, 4]);
  expect(await shelf.whole(sha256(right))).toBeNull();
});

describe("a large photo over a weak line", () => {
  const photo: Bytes = new Uint8Array(300_000).map((_, i) => (i * i) >> 7);
  photo.set([0xff, 0xd8, 0xff]);

  /** Answers ranges as the laptop does; breaks asks for each request whether the line breaks. */
  function laptop(breaks: (length: number) => boolean) {
    const asked: string[] = [];
    const exchange: Exchange = async (_method, _path, _body, headers) => {
      const range = headers?.Range ?? "";
      asked.push(range);
      const [, first, last] = /^bytes=(\d+)-(\d+)$/.exec(range)?.map(Number) ?? [];
      if (first === undefined || last === undefined || first >= photo.length) throw new Error(range);
      if (breaks(last - first + 1)) throw new Refusal("unreachable", "");
      const to = Math.min(last + 1, photo.length);
      const headersOut = { "Content-Range": `bytes ${first}-${to - 1}/${photo.length}` };
      return new Response(photo.slice(first, to), { status: 206, headers: headersOut });
    };
    return { exchange, asked };
  }

  it("comes in parts, none twice", async () => {
    const { exchange, asked } = laptop(() => false);
    const whole = await shelfOf(exchange).whole(sha256(photo));
    expect(sha256(new Uint8Array((await whole?.arrayBuffer()) ?? []))).toBe(sha256(photo));
    expect(asked.length).toBeGreaterThan(1);
    expect(new Set(asked.map((r) => r.split("-")[0])).size).toBe(asked.length);
  });

  it("goes on where it was, in smaller parts", async () => {
    const { exchange, asked } = laptop((length) => length > 40_000);
    expect((await shelfOf(exchange).whole(sha256(photo)))?.size).toBe(photo.length);
    expect(asked.filter((r) => r.startsWith("bytes=0-"))).toHaveLength(2);
  });

  it("is given up for now when the line is gone", async () => {
    const { exchange, asked } = laptop(() => true);
    expect(await shelfOf(exchange).whole(sha256(photo))).toBeNull();
    expect(asked.length).toBeLessThan(6);
  });

  it("isn't taken when it claims to be longer than photos are", async () => {
    const headers = { "Content-Range": "bytes 0-2/99999999999" };
    const shelf = shelfOf(async () => new Response(photo.slice(0, 3), { status: 206, headers }));
    expect(await shelf.whole(sha256(photo))).toBeNull();
  });
});
