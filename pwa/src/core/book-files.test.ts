import { describe, expect, it } from "vitest";
import { BookFiles, type Fetched, needed } from "./book-files";

const bytes = (text: string): ArrayBuffer => new TextEncoder().encode(text).buffer as ArrayBuffer;
const words = (content: ArrayBuffer): string => new TextDecoder().decode(content);

const manifest = JSON.stringify({
  languages: { en: { countries: [{ id: "US", judging: ["en/metals", "en/us"] }] } },
});

/** A core that refuses whatever says it is damaged, and a place to fetch from. */
function scene(
  files: Record<string, string | { why: string; gone: boolean }>,
  again: Record<string, string> = {},
) {
  const told: string[] = [];
  const fetched: string[] = [];
  const book = new BookFiles(
    (method, json, content) => {
      const body = content ? words(content) : "";
      told.push(`${method} ${json} ${body.slice(0, 12)}`.trim());
      return body.startsWith("damaged") ? '{"error":{"code":"book-damaged"}}' : '{"ok":{}}';
    },
    async (name, past): Promise<Fetched> => {
      fetched.push(past ? `${name} again` : name);
      const file = past ? again[name] : files[name];
      if (file === undefined) return { why: "no network", gone: false };
      return typeof file === "string" ? { content: bytes(file) } : file;
    },
  );
  return { book, told, fetched };
}

describe("BookFiles", () => {
  it("fetches what the country's judgements take before the core asks, and once", async () => {
    const { book, told, fetched } = scene({ "manifest.json": manifest, "en/metals": "m", "en/us": "u" });
    await book.begin({ country: "US", language: "en" });
    expect(fetched).toEqual(["manifest.json", "en/metals", "en/us"]);
    expect(told).toEqual([]);
    await book.bring(["manifest.json"]);
    await book.bring(["en/metals", "en/us"]);
    expect(fetched).toHaveLength(3);
    expect(told[0]).toContain('book-open {"language":"en"}');
    expect(told.slice(1)).toEqual(['book-put {"name":"en/metals"} m', 'book-put {"name":"en/us"} u']);
  });

  it("fetches a file once for two questions that need it", async () => {
    const { book, fetched } = scene({ "en/us/cent": "c" });
    await Promise.all([book.bring(["en/us/cent"]), book.bring(["en/us/cent"])]);
    expect(fetched).toEqual(["en/us/cent"]);
  });

  it("fetches a damaged file anew, past the kept copy", async () => {
    const { book, told, fetched } = scene({ "en/us": "damaged" }, { "en/us": "whole" });
    await book.bring(["en/us"]);
    expect(fetched).toEqual(["en/us", "en/us again"]);
    expect(told.at(-1)).toBe('book-put {"name":"en/us"} whole');
  });

  it("leaves a damaged file damaged when there is no other, and says what can't be had", async () => {
    const { book, told } = scene({ "en/us": "damaged", "en/gone": { why: "404", gone: true } });
    await book.bring(["en/us", "en/gone", "en/far"]);
    expect(told.filter((t) => t.startsWith("book-put"))).toHaveLength(1);
    expect(told).toContain('book-lost {"name":"en/gone","why":"404","gone":true}');
    expect(told).toContain('book-lost {"name":"en/far","why":"no network","gone":false}');
  });

  it("opens the book in another language once it is open, and before that at its opening", async () => {
    const { book, told } = scene({ "manifest.json": manifest });
    await book.speak("es-MX");
    expect(told).toEqual([]);
    await book.bring(["manifest.json"]);
    await book.speak("en");
    expect(told).toHaveLength(2);
    expect(told[0]).toContain('book-open {"language":"es-MX"}');
    expect(told[1]).toContain('book-open {"language":"en"}');
  });

  it("stays with the language it has where the manifest can't be had", async () => {
    const files: Record<string, string> = { "manifest.json": manifest };
    const { book, told } = scene(files);
    await book.bring(["manifest.json"]);
    delete files["manifest.json"];
    await book.speak("es");
    expect(told).toHaveLength(1);
  });

  it("begins with the files of a place's language", async () => {
    const spanish = JSON.stringify({
      languages: {
        en: { countries: [{ id: "US", judging: ["en/us"] }] },
        es: { countries: [{ id: "US", judging: ["es/us"] }] },
      },
    });
    const { book, fetched } = scene({ "manifest.json": spanish });
    await book.begin({ country: "US", language: "es-MX" });
    expect(fetched).toEqual(["manifest.json", "es/us"]);
  });

  it("leaves it to the core to say what is wrong with a manifest", async () => {
    const { book, told, fetched } = scene({ "manifest.json": "damaged {" });
    await book.begin({ country: "US", language: "en" });
    await book.bring(["manifest.json"]);
    expect(fetched).toEqual(["manifest.json", "manifest.json again"]);
    expect(told).toEqual(['book-open {"language":"en"} damaged {']);
  });
});

describe("needed", () => {
  it("tells a need from an answer", () => {
    expect(needed('{"need":["a","b"]}')).toEqual(["a", "b"]);
    expect(needed('{"ok":{"need":["a"]}}')).toBeNull();
    expect(needed('{"error":{"code":"internal"}}')).toBeNull();
  });
});
