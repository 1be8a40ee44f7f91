import { expect, test } from "vitest";
import { drawings } from "./all-drawings";

test("a kind's drawing is found by its id, that of a question's choice by both", () => {
  for (const name of ["cud", "us-cent-1982-date/small", "us-cent-1982-date/large"]) {
    expect(drawings.get(name)).toContain("<svg");
  }
});
