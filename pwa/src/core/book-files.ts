/** Whose coins are weighed, and in which language the book is read. */
export interface Beginning {
  country: string;
  language: string;
}

/** A file of the book, or why there is none; gone when the server answered that it has none. */
export type Fetched = { content: ArrayBuffer } | { why: string; gone: boolean };

/** The core's method for the book; the bytes given are the core's from then on. */
export type TellCore = (
  method: "book-open" | "book-put" | "book-lost",
  json: string,
  content?: ArrayBuffer,
) => string;

/** Names no version of itself, so it is what the others are found by. */
export const manifestName = "manifest.json";

/** What an answer of the core needs before it can be given; nothing if it is one. */
export function needed(answer: string): string[] | null {
  if (!answer.startsWith('{"need":')) return null;
  return (JSON.parse(answer) as { need: string[] }).need;
}

/**
 * Brings the coin book's files to the core. Which one is needed for what, and
 * whether one is whole, the core says; here they are only fetched.
 */
export class BookFiles {
  private tell: TellCore;
  /** again: past every copy that this device keeps, since that one was damaged. */
  private fetchFile: (name: string, again: boolean) => Promise<Fetched>;
  private language = "en";
  private opened = false;
  private early = new Map<string, Promise<Fetched>>();
  private underWay = new Map<string, Promise<void>>();

  constructor(tell: TellCore, fetchFile: (name: string, again: boolean) => Promise<Fetched>) {
    this.tell = tell;
    this.fetchFile = fetchFile;
  }

  /** Fetches what the first judgement will need while the core is still on its way. */
  async begin({ country, language }: Beginning): Promise<void> {
    this.language = language;
    const manifest = await this.ahead(manifestName);
    if ("why" in manifest) return;
    for (const name of judging(manifest.content, country, language)) this.ahead(name);
  }

  /** Opens the book in another language; it stays in the one it has if the manifest can't be had. */
  async speak(language: string): Promise<void> {
    this.language = language;
    if (!this.opened) return; // it will be opened so
    const manifest = await this.fetchFile(manifestName, false);
    if ("content" in manifest) this.hand(manifestName, manifest.content);
  }

  /** Brings the files that the core asked for; each is then with it, or known to it as lost. */
  async bring(names: string[]): Promise<void> {
    await Promise.all(
      names.map((name) => {
        const same = this.underWay.get(name);
        if (same) return same;
        const one = this.one(name).finally(() => this.underWay.delete(name));
        this.underWay.set(name, one);
        return one;
      }),
    );
  }

  private ahead(name: string): Promise<Fetched> {
    const coming = this.fetchFile(name, false);
    this.early.set(name, coming);
    return coming;
  }

  private async one(name: string): Promise<void> {
    const early = this.early.get(name);
    this.early.delete(name);
    const first = await (early ?? this.fetchFile(name, false));
    if ("why" in first) return this.lost(name, first);
    if (this.hand(name, first.content)) return;
    const second = await this.fetchFile(name, true);
    // The core has been told that the kept copy is damaged, which says more than that there is no other.
    if ("content" in second) this.hand(name, second.content);
  }

  /** Hands a file to the core; false when the core refused it. */
  private hand(name: string, content: ArrayBuffer): boolean {
    this.opened ||= name === manifestName;
    const answer =
      name === manifestName
        ? this.tell("book-open", JSON.stringify({ language: this.language }), content)
        : this.tell("book-put", JSON.stringify({ name }), content);
    return answer.startsWith('{"ok":');
  }

  private lost(name: string, { why, gone }: { why: string; gone: boolean }): void {
    this.tell("book-lost", JSON.stringify({ name, why, gone }));
  }
}

/** The files that the manifest names for a country's judgements; none if it can't be read. */
function judging(manifest: ArrayBuffer, country: string, language: string): string[] {
  try {
    const { languages } = JSON.parse(new TextDecoder().decode(manifest)) as {
      languages: Record<string, { countries: { id: string; judging: string[] }[] }>;
    };
    const edition = languages[language] ?? languages[language.split("-")[0] ?? ""] ?? languages.en;
    return edition?.countries.find((c) => c.id === country)?.judging ?? [];
  } catch {
    return []; // the core will say what is wrong with it
  }
}
