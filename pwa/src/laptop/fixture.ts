/** For tests: a household's network, with servers that have real keys. */

const text = (bytes: ArrayBuffer) => Buffer.from(bytes).toString("base64url");

/** A server's key, and how it proves that it has it. */
export class Key {
  private constructor(
    readonly fingerprint: string,
    private readonly spki: ArrayBuffer,
    private readonly signer: CryptoKey,
  ) {}

  static async make(): Promise<Key> {
    const pair = await crypto.subtle.generateKey({ name: "ECDSA", namedCurve: "P-256" }, true, [
      "sign",
      "verify",
    ]);
    const spki = await crypto.subtle.exportKey("spki", pair.publicKey);
    return new Key(text(await crypto.subtle.digest("SHA-256", spki)), spki, pair.privateKey);
  }

  /** The answer of server/httpapi/prove.go for a host. */
  async answer(host: string, nonce: string): Promise<{ key: string; signature: string }> {
    const message = `panside server proof, version 1\nhost ${host}\nnonce ${nonce}\n`;
    const how = { name: "ECDSA", hash: "SHA-256" };
    const signature = await crypto.subtle.sign(how, this.signer, new TextEncoder().encode(message));
    return { key: text(this.spki), signature: text(signature) };
  }
}

type Answer = (path: string, init: RequestInit, host: string) => Promise<Response> | Response;

/** Who answers at which origin; all others are silent. */
export class Network {
  readonly at = new Map<string, Answer>();
  readonly asked: string[] = [];
  /** The Authorization headers that arrived, by origin. */
  readonly tokens: [origin: string, header: string][] = [];
  constructor(private readonly own: string) {}

  readonly fetch = (async (address: string, init: RequestInit = {}) => {
    const url = new URL(address, this.own);
    this.asked.push(`${init.method} ${url.href}`);
    const token = new Headers(init.headers).get("Authorization");
    if (token) this.tokens.push([url.origin, token]);
    const answer = this.at.get(url.origin);
    if (!answer) throw new TypeError("nobody is there");
    return answer(url.pathname, init, url.host);
  }) as typeof fetch;
}

/** A server with a key: proves itself, and says the rest by more. */
export function serverWith(
  key: Key,
  addresses: string[] = [],
  more: Answer = () => new Response("{}"),
): Answer {
  return async (path, init, host) => {
    if (path !== "/api/v1/prove") return more(path, init, host);
    const { nonce } = JSON.parse(String(init.body));
    return new Response(JSON.stringify({ ...(await key.answer(host, nonce)), addresses }));
  };
}

/** A server that never answers until the asker gives up. */
export const hanging: Answer = (_path, init) =>
  new Promise((_, failed) => {
    init.signal?.addEventListener("abort", () => failed(new DOMException("given up", "AbortError")));
  });
