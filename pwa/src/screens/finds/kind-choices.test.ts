import { expect, test } from "vitest";
import { kindChoices } from "./kind-choices";

const all = [
  { id: "cud", name: "Cud" },
  { id: "mule", name: "Mule" },
];

test("a find whose kind is gone from the book keeps it", () => {
  expect(kindChoices([], all, "cracked-skull-of-an-older-book").map((c) => c.id)).toEqual([
    "cud",
    "mule",
    "cracked-skull-of-an-older-book",
  ]);
});

test("the kinds of its coin come first, each once", () => {
  expect(kindChoices([{ id: "mule", words: "Cent head with a dime’s reverse" }], all, "cud")).toEqual([
    { id: "mule", words: "Cent head with a dime’s reverse" },
    { id: "cud", words: "Cud" },
  ]);
  expect(kindChoices([], all, undefined)).toHaveLength(2);
});
