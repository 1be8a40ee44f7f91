import { describe, expect, it } from "vitest";
import { cameraTroubles } from "../../senses/camera";
import { lookRefusals } from "../../senses/eye";
import { en } from "../../text/en";
import { es } from "../../text/es";

/** What is the matter, and then what to do about it. */
const withMend = /^[^.]+\. [^.]+\./;

describe.each([en, es])("the camera’s sentences, $language", ({ camera }) => {
  it.each(lookRefusals)("say of %s what to do", (why) => {
    expect(camera.whys[why]).toMatch(withMend);
  });

  it.each(cameraTroubles)("say of a camera that is %s what to do", (why) => {
    expect(camera.troubles[why]).toMatch(withMend);
  });

  it("say nothing that can’t come", () => {
    expect(Object.keys(camera.whys).sort()).toEqual([...lookRefusals].sort());
    expect(Object.keys(camera.troubles).sort()).toEqual([...cameraTroubles].sort());
  });
});
