import { describe, expect, it } from "vitest";
import { notes, type SoundLike, shakes, Tones, tones } from "./tones";

function fakeSound() {
  const played: { hz: number; from: number; to: number; stopped: number }[] = [];
  const sound = {
    currentTime: 5,
    state: "suspended",
    destination: {},
    resumed: 0,
    async resume() {
      this.resumed++;
      this.state = "running";
    },
    createGain: () => ({
      gain: { setValueAtTime() {}, linearRampToValueAtTime() {} },
      connect() {},
    }),
    createOscillator: () => {
      const one = { hz: 0, from: 0, to: 0, stopped: 0 };
      played.push(one);
      return {
        type: "",
        frequency: {
          set value(hz: number) {
            one.hz = hz;
          },
        },
        connect() {},
        start: (at: number) => {
          one.from = at;
        },
        stop: (at?: number) => {
          if (at === undefined) one.stopped++;
          else one.to = at;
        },
      };
    },
  };
  return { played, sound, like: sound as unknown as SoundLike };
}

describe("Tones", () => {
  it.each(tones)(
    "“%s” differs from the others by the count of its notes or their pitch by a third at least",
    (t) => {
      for (const other of tones) {
        if (other === t) continue;
        const [a, b] = [notes[t], notes[other]];
        const ratio = Math.max(a[0]?.hz ?? 0, b[0]?.hz ?? 0) / Math.min(a[0]?.hz ?? 1, b[0]?.hz ?? 1);
        expect(a.length !== b.length || ratio > 1.25, other).toBe(true);
        expect(shakes[t], other).not.toEqual(shakes[other]);
      }
    },
  );

  it("begins at a tap and plays each note in its time", () => {
    const { played, sound, like } = fakeSound();
    const t = new Tones(() => like);
    t.play("older");
    expect(played).toEqual([]); // no tap yet
    t.start();
    expect(sound.resumed).toBe(1);
    t.play("newer");
    expect(played.map((p) => p.hz)).toEqual(notes.newer.map((n) => n.hz));
    expect(played[1]?.from).toBeCloseTo(5.01 + 0.14);
    expect(played[1]?.to).toBeCloseTo(5.01 + 0.14 + 0.09);
  });

  it("cuts the tone of the coin before when the next one lands, and leaves one that is over", () => {
    const { played, sound, like } = fakeSound();
    const t = new Tones(() => like);
    t.start();
    t.play("look");
    sound.currentTime += 0.2;
    t.play("older");
    expect(played.filter((p) => p.stopped === 1)).toHaveLength(notes.look.length);
    sound.currentTime += 5;
    t.play("older");
    expect(played.filter((p) => p.stopped === 1)).toHaveLength(notes.look.length);
  });

  it("says when the browser makes none", () => {
    const t = new Tones(() => {
      throw new Error("none");
    });
    t.start();
    t.play("look");
    expect(t.able.value).toBe(false);
  });
});
