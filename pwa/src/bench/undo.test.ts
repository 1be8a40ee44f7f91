import { expect, it } from "vitest";
import { Undoable } from "./undo";

it("takes back one change after the other, and does them again", () => {
  const u = new Undoable(1);
  u.set(2);
  u.set(3);
  u.undo();
  expect(u.now.value).toBe(2);
  u.undo();
  u.undo();
  expect(u.now.value).toBe(1);
  expect(u.canUndo.value).toBe(false);
  u.redo();
  expect(u.now.value).toBe(2);
  u.set(9);
  expect(u.canRedo.value).toBe(false);
});

it("takes a drag back as one change, and the next drag as another", () => {
  const u = new Undoable(0);
  for (let i = 1; i < 5; i++) u.set(i, "drag");
  u.rest();
  u.set(10, "drag");
  u.undo();
  expect(u.now.value).toBe(4);
  u.undo();
  expect(u.now.value).toBe(0);
});
