import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import type { Received } from "./age";
import { HandClock, weightMessage } from "./fixture";
import { type Connection, connectLimitMs, LiveClient, type SocketLike, silenceLimitMs } from "./socket";

class FakeSocket implements SocketLike {
  onopen: SocketLike["onopen"] = null;
  onmessage: SocketLike["onmessage"] = null;
  onclose: SocketLike["onclose"] = null;
  onerror: SocketLike["onerror"] = null;
  sent: string[] = [];
  closed = false;
  send(data: string) {
    this.sent.push(data);
  }
  close() {
    this.closed = true;
  }
  notice(cursor: string) {
    this.onmessage?.({ data: JSON.stringify({ type: "notice", v: 1, cursor }) });
  }
  weight(seq: number) {
    this.onmessage?.({ data: JSON.stringify(weightMessage({ seq })) });
  }
}

let sockets: FakeSocket[];
let lines: Connection[];
let weights: Received[];
let byes: string[];
let notices: string[];
let token: string | null;
let clock: HandClock;
let client: LiveClient;

/** Lets time pass on the timers and on both clocks. */
function pass(ms: number) {
  clock.pass(ms);
  vi.advanceTimersByTime(ms);
}

function newest(): FakeSocket {
  const s = sockets.at(-1);
  if (!s) throw new Error("no socket was opened");
  return s;
}

beforeEach(() => {
  vi.useFakeTimers();
  sockets = [];
  lines = [];
  weights = [];
  byes = [];
  notices = [];
  token = "T";
  clock = new HandClock();
  client = new LiveClient({
    open: () => {
      const s = new FakeSocket();
      sockets.push(s);
      return s;
    },
    token: () => token,
    clock,
    onWeight: (r) => weights.push(r),
    onConnection: (l) => lines.push(l),
    onBye: (b) => byes.push(b.code),
    onNotice: (cursor) => notices.push(cursor),
    random: () => 0.5,
  });
});

afterEach(() => {
  client.stop();
  vi.useRealTimers();
});

describe("LiveClient", () => {
  it("says hello with its token, then hands on weights", () => {
    client.start();
    newest().onopen?.({});
    expect(newest().sent).toEqual(['{"type":"hello","token":"T"}']);
    newest().weight(1);
    expect(weights.map((w) => w.message.seq)).toEqual([1]);
    expect(lines).toEqual(["connecting", "open"]);
  });

  it("hands on that the journal grew", () => {
    client.start();
    newest().notice("7.abc");
    newest().weight(1);
    expect(notices).toEqual(["7.abc"]);
    expect(weights).toHaveLength(1);
  });

  it("opens nothing without a token", () => {
    token = null;
    client.start();
    expect(sockets).toHaveLength(0);
  });

  it("takes gaps in the numbers, and drops what isn't newer", () => {
    client.start();
    for (const seq of [5, 9, 9, 7, 10]) newest().weight(seq);
    expect(weights.map((w) => w.message.seq)).toEqual([5, 9, 10]);
  });

  it("starts counting anew on a new line", () => {
    client.start();
    newest().weight(500);
    newest().onclose?.({});
    pass(10_000);
    newest().weight(1);
    expect(weights.map((w) => w.message.seq)).toEqual([500, 1]);
  });

  it("shows nothing of a message it can't read, and stays", () => {
    client.start();
    newest().onmessage?.({ data: "garbage" });
    expect(weights).toHaveLength(0);
    expect(newest().closed).toBe(false);
  });

  it("gives up a connection that takes too long", () => {
    client.start();
    pass(connectLimitMs - 1);
    expect(newest().closed).toBe(false);
    pass(1);
    expect(sockets[0]?.closed).toBe(true);
    expect(lines.at(-1)).toBe("waiting");
    pass(10_000);
    expect(sockets.length).toBeGreaterThan(1);
  });

  it("takes a silent line for dead", () => {
    client.start();
    newest().weight(1);
    pass(silenceLimitMs);
    expect(sockets[0]?.closed).toBe(true);
    expect(sockets).toHaveLength(2);
  });

  it("tries again ever more calmly, and at once faster after a success", () => {
    client.start();
    const waits: number[] = [];
    for (let i = 0; i < 8; i++) {
      const before = sockets.length;
      newest().onerror?.({});
      let waited = 0;
      while (sockets.length === before) {
        pass(100);
        waited += 100;
      }
      waits.push(waited);
    }
    expect(waits).toEqual([400, 800, 1600, 3200, 5000, 5000, 5000, 5000]);
    newest().weight(1);
    const before = sockets.length;
    newest().onclose?.({});
    pass(400);
    expect(sockets.length).toBe(before + 1);
  });

  it("stays “waiting” through one vain try after another", () => {
    client.start();
    for (let i = 0; i < 4; i++) {
      newest().onerror?.({});
      pass(10_000);
    }
    expect(lines).toEqual(["connecting", "waiting"]);
  });

  it("tries again when a socket can't even be made", () => {
    let broken = true;
    const c = new LiveClient({
      open: () => {
        if (broken) throw new Error("refused");
        const s = new FakeSocket();
        sockets.push(s);
        return s;
      },
      token: () => "T",
      clock,
      onWeight: () => {},
      onConnection: () => {},
      onBye: () => {},
      random: () => 0.5,
    });
    c.start();
    broken = false;
    pass(500);
    expect(sockets).toHaveLength(1);
    c.stop();
  });

  it("hands on a goodbye and tries again", () => {
    client.start();
    newest().onmessage?.({ data: JSON.stringify({ type: "bye", code: "stopping", sentence: "Stopping." }) });
    expect(byes).toEqual(["stopping"]);
    expect(newest().closed).toBe(true);
    pass(1000);
    expect(sockets).toHaveLength(2);
  });

  it("on waking trusts no line that has been silent, even if it claims to be open", () => {
    client.start();
    newest().weight(1);
    clock.moment.wall += 60_000; // the phone slept: no timer ran, the steady clock stood still
    client.wake();
    expect(sockets[0]?.closed).toBe(true);
    expect(sockets).toHaveLength(2);
  });

  it("begins a new line when it is to be spoken differently on it, and none where there was none", () => {
    client.renew();
    expect(sockets).toHaveLength(0);
    client.start();
    newest().onopen?.({});
    newest().weight(1);
    client.renew();
    expect(sockets).toHaveLength(2);
    expect(sockets[0]?.closed).toBe(true);
  });

  it("on waking leaves a live line alone", () => {
    client.start();
    newest().weight(1);
    pass(300);
    client.wake();
    expect(sockets).toHaveLength(1);
  });

  it("uses a socket that comes once the server is found", async () => {
    const made: FakeSocket[] = [];
    const arrivals: ((s: FakeSocket) => void)[] = [];
    const c = new LiveClient({
      open: () => new Promise<SocketLike>((done) => arrivals.push(done)),
      token: () => "T",
      clock,
      onWeight: (r) => weights.push(r),
      onConnection: (l) => lines.push(l),
      onBye: () => {},
      random: () => 0.5,
    });
    const arrive = async (i: number) => {
      const s = new FakeSocket();
      made.push(s);
      arrivals[i]?.(s);
      await Promise.resolve();
      return s;
    };
    c.start();
    pass(60_000); // finding it has limits of its own
    const first = await arrive(0);
    first.onopen?.({});
    expect(first.sent).toHaveLength(1);
    c.stop();
    c.start();
    c.stop();
    const late = await arrive(1);
    expect(late.closed).toBe(true);
    expect(late.onopen).toBeNull();
    expect(lines.at(-1)).toBe("off");
  });

  it("tries again when the server was nowhere to be found", async () => {
    let tries = 0;
    const c = new LiveClient({
      open: () => {
        tries++;
        return Promise.reject(new Error("nowhere"));
      },
      token: () => "T",
      clock,
      onWeight: () => {},
      onConnection: (l) => lines.push(l),
      onBye: () => {},
      random: () => 0.5,
    });
    c.start();
    await Promise.resolve();
    await Promise.resolve();
    expect(lines).toEqual(["connecting", "waiting"]);
    pass(400);
    expect(tries).toBe(2);
    c.stop();
  });

  it("rests without a socket while the page is put away, and goes on when it is back", () => {
    client.start();
    newest().weight(1);
    client.rest();
    expect(sockets[0]?.closed).toBe(true);
    expect(lines.at(-1)).toBe("waiting");
    pass(600_000);
    expect(sockets).toHaveLength(1);
    client.wake();
    newest().weight(1);
    expect(sockets).toHaveLength(2);
    expect(lines.at(-1)).toBe("open");
  });

  it("on waking doesn't wait for the next try", () => {
    client.start();
    for (let i = 0; i < 6; i++) {
      newest().onerror?.({});
      pass(9000);
    }
    newest().onerror?.({});
    const before = sockets.length;
    client.wake();
    expect(sockets.length).toBe(before + 1);
  });

  it("hears nothing more from a line it has left", () => {
    client.start();
    const old = newest();
    const late = old.onmessage;
    client.stop();
    late?.({ data: JSON.stringify(weightMessage({ seq: 1 })) });
    expect(weights).toHaveLength(0);
    expect(lines.at(-1)).toBe("off");
    pass(60_000);
    expect(sockets).toHaveLength(1);
  });
});
