import { describe, expect, it } from "vitest";
import { CoreClient, type CoreHost, type LocalCore, nobodyAnswers } from "./client";

const answer = (from: string) => JSON.stringify({ ok: from });

function setup(local: Partial<LocalCore>, remote: () => Promise<string> = async () => answer("laptop")) {
  const judges: CoreHost[] = [];
  const core = new CoreClient(
    {
      load: async () => {},
      speak: async () => {},
      call: async () => answer("phone"),
      exchange: async () => ({ json: answer("phone") }),
      ...local,
    },
    remote,
    (j) => judges.push(j),
  );
  return { core, judges };
}

describe("CoreClient", () => {
  it("answers in another language once its core does, also where that has ended", async () => {
    let turn = () => {};
    const { core } = setup({ speak: () => new Promise((done) => (turn = done)) });
    await core.load();
    const turning = core.speak("es-MX");
    expect(core.language.value).toBe("en");
    turn();
    await turning;
    expect(core.language.value).toBe("es-MX");
    const ended = setup({ speak: () => Promise.reject(new Error("ended")) });
    await ended.core.speak("es");
    expect(ended.core.language.value).toBe("es");
  });

  it("asks the laptop until the phone's own core is up, then the phone", async () => {
    let up = () => {};
    const { core, judges } = setup({
      load: () =>
        new Promise((resolve) => {
          up = resolve;
        }),
    });
    const loading = core.load();
    expect(await core.call("judge", {})).toEqual({ ok: "laptop" });
    up();
    await loading;
    expect(await core.call("judge", {})).toEqual({ ok: "phone" });
    expect(judges).toEqual(["phone"]);
  });

  it("asks the laptop where a part of the coin book is missing here, and else says what is wrong", async () => {
    const lacks = JSON.stringify({ error: { code: "book-damaged", sentence: "A part is damaged." } });
    const near = setup({ call: async () => lacks });
    await near.core.load();
    expect(await near.core.call("look", {})).toEqual({ ok: "laptop" });
    const far = setup({ call: async () => lacks }, () => Promise.reject(new Error("away")));
    await far.core.load();
    expect(await far.core.call("look", {})).toMatchObject({ error: { code: "book-damaged" } });
    expect(far.judges).toEqual(["phone"]); // the core itself is well
  });

  it("doesn't wait for a slow laptop once the phone's core is up", async () => {
    let up = () => {};
    const { core } = setup(
      {
        load: () =>
          new Promise((resolve) => {
            up = resolve;
          }),
      },
      () => new Promise(() => {}),
    );
    const loading = core.load();
    const asked = core.call("judge", {});
    up();
    await loading;
    expect(await asked).toEqual({ ok: "phone" });
  });

  it("waits for the laptop if the phone's core fails meanwhile", async () => {
    let answerNow = (_: string) => {};
    const { core } = setup(
      { load: () => Promise.reject(new Error("no wasm")) },
      () =>
        new Promise((resolve) => {
          answerNow = resolve;
        }),
    );
    const asked = core.call("judge", {});
    await core.load();
    answerNow(answer("laptop"));
    expect(await asked).toEqual({ ok: "laptop" });
  });

  it("stays with the laptop if the phone's core can't load", async () => {
    const { core, judges } = setup({ load: () => Promise.reject(new Error("no wasm")) });
    await core.load();
    expect(await core.call("judge", {})).toEqual({ ok: "laptop" });
    expect(judges).toEqual(["laptop"]);
  });

  it("goes over to the laptop, and answers, if the phone's core dies in a call", async () => {
    const { core, judges } = setup({ call: () => Promise.reject(new Error("exited")) });
    await core.load();
    expect(await core.call("judge", {})).toEqual({ ok: "laptop" });
    expect(judges).toEqual(["phone", "laptop"]);
  });

  it("passes the core's faults on as they are", async () => {
    const fault = { code: "no-such-issue", sentence: "There was none.", field: "year" };
    const { core } = setup({ call: async () => JSON.stringify({ error: fault }) });
    await core.load();
    expect(await core.call("judge", {})).toEqual({ error: fault });
  });

  it("says so if nobody answers", async () => {
    const { core } = setup({ load: () => Promise.reject(new Error("no WebAssembly")) }, () =>
      Promise.reject(new Error("offline")),
    );
    await core.load();
    expect(await core.call("judge", {})).toEqual({ error: { code: nobodyAnswers, sentence: "" } });
  });

  it("lets a question wait for its own core if the laptop is out of reach", async () => {
    const { core } = setup({}, () => Promise.reject(new Error("offline")));
    const asked = core.call("judge", {});
    await new Promise((resolve) => setTimeout(resolve)); // the laptop's silence is known by now
    await core.load();
    expect(await asked).toEqual({ ok: "phone" });
  });

  it("takes an unreadable answer for a fault", async () => {
    const { core } = setup({ call: async () => "<html>" });
    await core.load();
    expect(await core.call("judge", {})).toMatchObject({ error: { code: "internal" } });
  });

  it("sends the question as JSON", async () => {
    const asked: string[] = [];
    const { core } = setup({
      call: async (method, json) => {
        asked.push(`${method} ${json}`);
        return answer("phone");
      },
    });
    await core.load();
    await core.call("look", { denomination: "cent", year: 1982 });
    expect(asked).toEqual(['look {"denomination":"cent","year":1982}']);
  });
});
