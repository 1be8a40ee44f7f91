import { type Fields, fields, list, words } from "../core/json";
import { originsIn } from "./proof";

/**
 * Requests to the server. Every failure becomes a Refusal with a code and,
 * where the server gave one, a sentence for the person.
 */

export interface Device {
  id: string;
  name: string;
  role: string;
  last_seen: string | null;
}

export interface ServerInfo {
  name: string;
  fingerprint: string;
  /** The addresses it has now, and then those it had. */
  addresses: string[];
}

export interface Joined {
  token: string;
  device: Device;
  server: ServerInfo;
}

export interface Me {
  device: Device;
  server: ServerInfo;
  /** The server lets a device change its own name. */
  can_rename: boolean;
}

export interface Offer {
  url: string;
  qr_svg: string;
  expires_in_s: number;
  /** The laptop's addresses, of which a phone may reach only some. */
  addresses: string[];
  /** Which run of the server made it; see Joining. */
  run: string;
}

/** What the desk shows beside a code. */
export interface Joining {
  /** Wrong codes have closed it until a person asks for a fresh one. */
  closed: boolean;
  /** The certificate’s lines, to compare with a phone’s; none if the laptop’s owner brought one. */
  authority_lines: string[];
  /** Another one than before: the server was started again, and codes of before let nobody in. */
  run: string;
}

export interface PracticeCoin {
  id: string;
  name: string;
  note: string;
}

export interface PanCoin {
  id: string;
  name: string;
  grams: string;
}

export interface PracticePan {
  pan: PanCoin[];
  tray: PracticeCoin[];
}

export type PracticeMove =
  | { do: "put" | "lift"; coin: string }
  | { do: "clear" | "bump" | "tare" | "unplug" | "plug" | "garbage" };

/** The code of a refusal when no answer came at all. */
export const unreachable = "unreachable";

/** The server said no, or nothing. sentence is empty when it gave none. */
export class Refusal extends Error {
  readonly code: string;
  readonly sentence: string;
  /** What of the request can't be; empty if that isn't one part of it. */
  readonly field: string;
  constructor(code: string, sentence: string, field = "") {
    super(code);
    this.code = code;
    this.sentence = sentence;
    this.field = field;
  }
}

/** One request to the laptop; rejects with a Refusal. */
export type Exchange = (
  method: string,
  path: string,
  body?: string | Uint8Array<ArrayBuffer>,
  headers?: Record<string, string>,
) => Promise<Response>;

/** What came as an answer, whatever it says. */
export interface Answered {
  status: number;
  bytes: ArrayBuffer;
}

const limitMs = 8000;

/** Entries and parts of photos take longer than a question. */
const heavyLimitMs = 60_000;

export interface ApiOptions {
  fetch: typeof fetch;
  token(): string | null;
  /** The language that the server's sentences should be in, as a tag. */
  language(): string;
  /** Where the server is that this device joined: “” or another origin; null if nowhere. */
  base(): Promise<string | null>;
  /** Nothing answered there. */
  onSilence(): void;
  /** Called when the server no longer knows the device whose token that was. */
  onNotJoined(refusal: Refusal, token: string): void;
}

export class Api {
  private options: ApiOptions;

  constructor(options: ApiOptions) {
    this.options = options;
  }

  async join(secret: string, name: string): Promise<Joined> {
    // At the page’s own address, and without the token of an earlier joining:
    // the code may be another server’s.
    const body = JSON.stringify({ secret, name });
    const answered = await this.fetch("POST", "/api/v1/join", body, {}, limitMs);
    const j = fields(await this.read(answered));
    const token = words(j.token);
    if (!token) throw new Refusal("internal", "");
    return { token, device: readDevice(j.device), server: readServer(j.server) };
  }

  async me(): Promise<Me> {
    return readMe(await this.json("GET", "/api/v1/me"));
  }

  async rename(name: string): Promise<Me> {
    return readMe(await this.json("PUT", "/api/v1/me", { name }));
  }

  /** Ends a joining of this device: the present one, or an earlier one by its token. */
  async leave(earlier?: string): Promise<void> {
    if (!earlier) return void (await this.json("DELETE", "/api/v1/me"));
    const base = await this.options.base();
    if (base === null) throw new Refusal(unreachable, "");
    const headers = { Authorization: `Bearer ${earlier}` };
    await this.fetch("DELETE", `${base}/api/v1/me`, undefined, headers, limitMs);
  }

  async joining(): Promise<Joining> {
    const j = fields(await this.json("GET", "/api/v1/joining"));
    return {
      closed: j.closed === true,
      authority_lines: list(j.authority_lines).map(words).filter(Boolean),
      run: words(j.run),
    };
  }

  /**
   * A fresh one-time secret for a phone, at one of the laptop’s addresses; empty
   * for the usual one. Asked for by a person, it opens joining where wrong codes
   * had closed it; renewed by the page itself, it is refused then.
   */
  async offer(address: string, by: "page" | "person"): Promise<Offer> {
    const query = address ? `?address=${encodeURIComponent(address)}` : "";
    const o = fields(await this.json(by === "person" ? "POST" : "GET", `/api/v1/offer${query}`));
    const left = typeof o.expires_in_s === "number" ? o.expires_in_s : 0;
    const addresses = list(o.addresses).map(words).filter(Boolean);
    return { url: words(o.url), qr_svg: words(o.qr_svg), expires_in_s: left, addresses, run: words(o.run) };
  }

  async devices(): Promise<Device[]> {
    const d = await this.json("GET", "/api/v1/devices");
    return list(Array.isArray(d) ? d : fields(d).devices).map(readDevice);
  }

  async endDevice(id: string): Promise<void> {
    await this.json("DELETE", `/api/v1/devices/${encodeURIComponent(id)}`);
  }

  async practice(move?: PracticeMove): Promise<PracticePan> {
    const p = fields(await this.json(move ? "POST" : "GET", "/api/v1/virtual", move));
    return {
      pan: list(p.pan).map((c) => ({
        id: words(fields(c).id),
        name: words(fields(c).name),
        grams: String(fields(c).grams ?? ""),
      })),
      tray: list(p.tray).map((c) => ({
        id: words(fields(c).id),
        name: words(fields(c).name),
        note: words(fields(c).note),
      })),
    };
  }

  /** The core on the laptop: the core's own JSON in and out, also for its faults. */
  async core(method: string, json: string): Promise<string> {
    const response = await this.send("POST", `/api/v1/core/${method}`, json);
    const body = await response.text();
    if (response.status === 401) throw refusalIn(body);
    return body;
  }

  /** One request of the sync, whose core reads the answer itself; null when none came. */
  async ask(...request: Parameters<Exchange>): Promise<Answered | null> {
    const [method, path, body, headers] = request;
    try {
      const response = await this.send(method, path, body, headers, heavyLimitMs);
      return { status: response.status, bytes: await response.arrayBuffer() };
    } catch {
      return null; // nobody was reached, or the line broke in the middle of the answer
    }
  }

  /** One exchange of bytes: out and in, refusals as for everything else. */
  async exchange(
    method: string,
    path: string,
    body?: string | Uint8Array<ArrayBuffer>,
    headers: Record<string, string> = {},
  ): Promise<Response> {
    const response = await this.send(method, path, body, headers, heavyLimitMs);
    if (!response.ok) throw refusalIn(await response.text());
    try {
      const { status, headers } = response;
      return new Response(await response.arrayBuffer(), { status, headers });
    } catch {
      throw new Refusal(unreachable, ""); // the line broke in the middle of the answer
    }
  }

  private async json(method: string, path: string, body?: unknown): Promise<unknown> {
    return this.read(await this.send(method, path, body === undefined ? undefined : JSON.stringify(body)));
  }

  private async read(response: Response): Promise<unknown> {
    const text = await response.text();
    if (!response.ok) throw refusalIn(text);
    if (!text) return null;
    try {
      return JSON.parse(text);
    } catch {
      throw new Refusal("internal", "");
    }
  }

  private async send(
    method: string,
    path: string,
    body?: string | Uint8Array<ArrayBuffer>,
    more: Record<string, string> = {},
    limit = limitMs,
  ): Promise<Response> {
    const token = this.options.token();
    // Nobody is shown the token before they have proved to be who gave it.
    const base = token ? await this.options.base() : "";
    if (base === null) throw new Refusal(unreachable, "");
    const headers = token ? { Authorization: `Bearer ${token}`, ...more } : more;
    let response: Response;
    try {
      response = await this.fetch(method, base + path, body, headers, limit);
    } catch (cause) {
      this.options.onSilence();
      throw cause;
    }
    if (response.status === 401 && token) {
      const refusal = refusalIn(await response.clone().text());
      if (refusal.code === "not-joined") this.options.onNotJoined(refusal, token);
    }
    return response;
  }

  private async fetch(
    method: string,
    address: string,
    body: string | Uint8Array<ArrayBuffer> | undefined,
    more: Record<string, string>,
    limit: number,
  ): Promise<Response> {
    const headers: Record<string, string> = body === undefined ? {} : { "Content-Type": "application/json" };
    headers["Accept-Language"] = this.options.language(); // without it the browser would send its own
    Object.assign(headers, more);
    const init: RequestInit = { method, headers, cache: "no-store", signal: AbortSignal.timeout(limit) };
    if (body !== undefined) init.body = body;
    try {
      return await this.options.fetch(address, init);
    } catch {
      throw new Refusal(unreachable, "");
    }
  }
}

/** The refusal in an error body. */
function refusalIn(body: string): Refusal {
  let error: Fields = {};
  try {
    error = fields(fields(JSON.parse(body)).error);
  } catch {
    // Not the server's own words, such as a proxy's page: nothing of it is shown.
  }
  return new Refusal(words(error.code) || "internal", words(error.sentence), words(error.field));
}

function readMe(x: unknown): Me {
  const m = fields(x);
  return { device: readDevice(m.device), server: readServer(m.server), can_rename: m.can_rename === true };
}

/** A device as it comes, or as it was kept here. */
export function readDevice(x: unknown): Device {
  const d = fields(x);
  return {
    id: words(d.id),
    name: words(d.name),
    role: words(d.role),
    last_seen: words(d.last_seen) || null,
  };
}

/** A server as it comes, or as it was kept here. */
export function readServer(x: unknown): ServerInfo {
  const s = fields(x);
  const addresses = [...originsIn(s.addresses), ...originsIn(s.earlier_addresses)];
  return { name: words(s.name), fingerprint: words(s.fingerprint), addresses };
}
