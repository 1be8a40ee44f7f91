import { describe, expect, it } from "vitest";
import { deviceKind, readInvitation } from "./invitation";

describe("readInvitation", () => {
  it("reads secret and key", () => {
    expect(readInvitation("#join=aB-_9&key=xY-_0")).toEqual({ secret: "aB-_9", key: "xY-_0" });
  });

  it("does without a key", () => {
    expect(readInvitation("#join=abc")).toEqual({ secret: "abc", key: "" });
  });

  it.each(["", "#", "#/weigh", "#key=abc", "#join=", "#join=%20&key=a", "#joined=abc"])(
    "finds none in %j",
    (hash) => {
      expect(readInvitation(hash)).toBeNull();
    },
  );
});

describe("deviceKind", () => {
  it.each([
    ["Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X)", 5, "iphone"],
    ["Mozilla/5.0 (iPad; CPU OS 16_0 like Mac OS X)", 5, "ipad"],
    ["Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7)", 5, "ipad"],
    ["Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7)", 0, "mac"],
    ["Mozilla/5.0 (Linux; Android 14; K)", 5, "android"],
    ["Mozilla/5.0 (X11; Linux x86_64)", 0, "linux"],
    ["Mozilla/5.0 (Windows NT 10.0; Win64; x64)", 10, "windows"],
    ["something else", 0, "other"],
  ])("of %s with %i touch points is %s", (agent, touch, kind) => {
    expect(deviceKind(agent, touch)).toBe(kind);
  });
});
