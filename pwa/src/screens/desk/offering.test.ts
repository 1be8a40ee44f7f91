import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { type Joining, type Offer, Refusal } from "../../laptop/api";
import { lookEveryMs, Offering, renewBeforeS, retryMs } from "./offering";

const lifeS = 300;
const freshMs = 1000 * (lifeS - renewBeforeS);

/** A laptop’s side: codes are numbered, and wrong ones may have closed joining. */
class Laptop {
  closed = false;
  away = false;
  run = 1;
  /** Who asked for a code, in turn. */
  asked: string[] = [];
  private made = 0;

  offer = async (address: string, by: "page" | "person"): Promise<Offer> => {
    this.asked.push(by);
    if (this.away) throw new Refusal("unreachable", "");
    if (this.closed && by === "page") throw new Refusal("too-many-tries", "Closed.");
    this.closed = false;
    return {
      url: `${address || "usual"} ${++this.made}`,
      qr_svg: "",
      expires_in_s: lifeS,
      addresses: [],
      run: String(this.run),
    };
  };

  joining = async (): Promise<Joining> => {
    if (this.away) throw new Refusal("unreachable", "");
    return { closed: this.closed, authority_lines: ["AA:BB"], run: String(this.run) };
  };
}

describe("the code on the desk", () => {
  let laptop: Laptop;
  let offering: Offering;
  const pass = (ms: number) => vi.advanceTimersByTimeAsync(ms);
  const code = () => offering.offer.value?.url ?? null;

  beforeEach(async () => {
    vi.useFakeTimers();
    laptop = new Laptop();
    offering = new Offering(laptop, () => Date.now());
    offering.start();
    await pass(0);
  });
  afterEach(() => {
    offering.stop();
    expect(vi.getTimerCount()).toBe(0);
    vi.useRealTimers();
  });

  it("is renewed before it ends, with the lines to compare beside it", async () => {
    expect(code()).toBe("usual 1");
    expect(offering.joining.value.authority_lines).toEqual(["AA:BB"]);
    expect(offering.endsAt.value - Date.now()).toBe(freshMs);
    await pass(freshMs - 1);
    expect(code()).toBe("usual 1");
    await pass(1);
    expect(code()).toBe("usual 2");
    offering.choose("other");
    await pass(0);
    expect(code()).toBe("other 3");
    expect(laptop.asked).not.toContain("person");
  });

  it("is gone soon after wrong codes closed joining, and doesn’t come back by itself", async () => {
    laptop.closed = true;
    await pass(lookEveryMs);
    expect(code()).toBeNull();
    expect(offering.joining.value.closed).toBe(true);
    await pass(3 * freshMs);
    offering.stop(); // the page goes to the background and comes back
    offering.start();
    await pass(3 * freshMs);
    expect(code()).toBeNull();
    expect(laptop.closed).toBe(true);
    expect(laptop.asked).not.toContain("person");
  });

  it("comes back when a person opens joining, and is renewed again", async () => {
    laptop.closed = true;
    await pass(lookEveryMs);
    await offering.open();
    expect(offering.joining.value.closed).toBe(false);
    expect(code()).toBe("usual 2");
    await pass(freshMs);
    expect(code()).toBe("usual 3");
    expect(laptop.asked).toEqual(["page", "person", "page"]);
  });

  it("comes back when joining was opened elsewhere", async () => {
    laptop.closed = true;
    await pass(lookEveryMs);
    laptop.closed = false;
    await pass(lookEveryMs);
    expect(code()).toBe("usual 2");
  });

  it("isn’t asked for a second time by itself when opening failed", async () => {
    laptop.closed = true;
    await pass(lookEveryMs);
    laptop.away = true;
    await offering.open();
    expect(offering.failed.value).toBe(true);
    const asked = laptop.asked.length;
    await pass(3 * lookEveryMs);
    laptop.away = false;
    await pass(3 * lookEveryMs);
    expect(offering.joining.value.closed).toBe(true);
    expect(laptop.asked.length).toBe(asked);
  });

  it("is tried again after a laptop that didn’t answer", async () => {
    laptop.away = true;
    await pass(freshMs);
    expect(code()).toBeNull();
    expect(offering.failed.value).toBe(true);
    laptop.away = false;
    await pass(retryMs);
    expect(code()).toBe("usual 2");
    expect(offering.failed.value).toBe(false);
  });

  it("goes while the server is away, and is tried for again", async () => {
    laptop.away = true;
    await pass(lookEveryMs);
    expect(code()).toBeNull();
    expect(offering.failed.value).toBe(true);
    laptop.away = false;
    laptop.run++;
    await pass(retryMs);
    expect(code()).toBe("usual 2");
    expect(offering.failed.value).toBe(false);
  });

  it("is another one at a tap, and joining that wrong codes closed stays closed", async () => {
    offering.renew();
    await pass(0);
    expect(code()).toBe("usual 2");
    laptop.closed = true;
    offering.renew();
    await pass(0);
    expect(code()).toBeNull();
    expect(laptop.asked).not.toContain("person");
  });

  it("is a fresh one soon after the server was started again", async () => {
    expect(code()).toBe("usual 1");
    laptop.away = true;
    await pass(lookEveryMs);
    laptop.away = false;
    laptop.run++;
    await pass(lookEveryMs);
    expect(code()).toBe("usual 2");
    await pass(3 * lookEveryMs);
    expect(code()).toBe("usual 2");
  });

  it("isn’t put back by an answer that comes after the page went away", async () => {
    let late = (_: Offer) => {};
    laptop.offer = () => new Promise((done) => (late = done));
    offering.choose("other");
    offering.stop();
    late({ url: "late", qr_svg: "", expires_in_s: lifeS, addresses: [], run: "1" });
    await pass(0);
    expect(code()).toBeNull();
  });

  it("isn’t taken away by a look that began before a person opened joining", async () => {
    laptop.closed = true;
    await pass(lookEveryMs);
    let answer = (_: Joining) => {};
    laptop.joining = () => new Promise((done) => (answer = done));
    await pass(lookEveryMs);
    await offering.open();
    answer({ closed: true, authority_lines: [], run: "1" });
    await pass(0);
    expect(code()).toBe("usual 2");
    expect(offering.joining.value.closed).toBe(false);
  });

  it("isn’t taken away by a look while a person opens joining", async () => {
    laptop.closed = true;
    await pass(lookEveryMs);
    const answer = laptop.offer;
    let open = () => {};
    laptop.offer = async (...asked) => {
      await new Promise<void>((done) => (open = done));
      return answer(...asked);
    };
    const opened = offering.open();
    await pass(lookEveryMs);
    open();
    await opened;
    expect(code()).toBe("usual 2");
  });

  it("isn’t said to have failed to open when nobody tried", async () => {
    await pass(1); // so that the look comes before the next try
    laptop.away = true;
    offering.choose("other");
    await pass(1);
    expect(offering.failed.value).toBe(true);
    laptop.away = false;
    laptop.closed = true;
    await pass(lookEveryMs - 2);
    expect(offering.joining.value.closed).toBe(true);
    expect(offering.failed.value).toBe(false);
    expect(laptop.asked).toEqual(["page", "page"]);
  });
});
