import "fake-indexeddb/auto";
import { createHash } from "node:crypto";
import { expect, it } from "vitest";
import { PhoneDb } from "./db";
import { Journal } from "./journal";
import { FakeNotebook } from "./journal-fake";
import { lockOfOnePage } from "./lock";
import type { Bytes, PhotoTools } from "./photos";
import { PhotoShelf } from "./photos-shelf";

const sha256 = (b: Uint8Array) => createHash("sha256").update(b).digest("hex");

it("shows a photo of the laptop only if it is the one that was asked for", async () => {
  const right: Bytes = new Uint8Array([0xff, 0xd8, 0xff, 1, 2, 3]);
  const core = new FakeNotebook().core;
  const journal = new Journal({ db: new PhoneDb("shelf"), core, lock: lockOfOnePage(), now: () => 0 });
  let sent = right;
  const tools = { sha256: async (b: Bytes) => sha256(b) } as PhotoTools;
  const shelf = new PhotoShelf(journal, async () => new Response(sent), tools);
  expect((await shelf.whole(sha256(right)))?.size).toBe(6);
  sent = new Uint8Array([0xff, 0xd8, 0xff, 1, 2, 4]);
  expect(await shelf.whole(sha256(right))).toBeNull();
});
