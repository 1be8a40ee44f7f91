/**
 * Whether a server at an address holds the key this device knows. It is asked
 * before the token is sent anywhere; server/httpapi/prove.go answers.
 *
 * What a proof is worth: no other server has taken the address over. It isn't
 * tied to the encrypted line (a page can't see that), so somebody in between
 * can still pass everything on to a device whose browser was told to go on past
 * a warning; only a trusted certificate stops that one.
 */
export type Proof =
  | { is: "proven"; addresses: string[] }
  /** Something answers, and it isn't the server with that key. */
  | { is: "other" }
  | { is: "silent" }
  /** This page has no cryptography to check with. */
  | { is: "unable" };

export interface Prover {
  fetch: typeof fetch;
  crypto: Pick<Crypto, "getRandomValues"> & { subtle?: SubtleCrypto };
}

const nonceBytes = 16;

/** Asks the server at an origin such as “https://10.0.0.5:8311”. */
export async function prove(
  by: Prover,
  origin: string,
  fingerprint: string,
  stop: AbortSignal,
): Promise<Proof> {
  const subtle = by.crypto.subtle;
  if (!subtle) return { is: "unable" };
  const nonce = toText(by.crypto.getRandomValues(new Uint8Array(nonceBytes)));
  let response: Response;
  let body: string;
  try {
    response = await by.fetch(`${origin}/api/v1/prove`, {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ nonce }),
      cache: "no-store",
      signal: stop,
    });
    body = await response.text();
  } catch {
    return { is: "silent" };
  }
  // Busy or in trouble: it says nothing about the key.
  if (response.status === 429 || response.status >= 500) return { is: "silent" };
  if (!response.ok) return { is: "other" };
  try {
    const answer = JSON.parse(body) as Record<string, unknown>;
    const key = toBytes(answer.key);
    const signature = toBytes(answer.signature);
    if (!sameKey(toText(new Uint8Array(await subtle.digest("SHA-256", key))), fingerprint))
      return { is: "other" };
    const signer = await subtle.importKey("spki", key, { name: "ECDSA", namedCurve: "P-256" }, false, [
      "verify",
    ]);
    const message = new TextEncoder().encode(
      `panside server proof, version 1\nhost ${new URL(origin).host}\nnonce ${nonce}\n`,
    );
    const signed = await subtle.verify({ name: "ECDSA", hash: "SHA-256" }, signer, signature, message);
    return signed ? { is: "proven", addresses: originsIn(answer.addresses) } : { is: "other" };
  } catch {
    return { is: "other" }; // not an answer of ours
  }
}

/** Whether two fingerprints are the same key's. In base64url every character counts, also its case. */
export const sameKey = (a: string, b: string): boolean => a !== "" && a === b;

/** The encrypted origins in a list from elsewhere. */
export function originsIn(x: unknown): string[] {
  if (!Array.isArray(x)) return [];
  return x.filter((a): a is string => {
    if (typeof a !== "string" || !a.startsWith("https://")) return false;
    try {
      return new URL(a).origin === a;
    } catch {
      return false;
    }
  });
}

/** Bytes as base64url without padding (RFC 4648, section 5). */
function toText(bytes: Uint8Array): string {
  const base64 = btoa(String.fromCharCode(...bytes));
  return base64.replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
}

function toBytes(x: unknown): Uint8Array<ArrayBuffer> {
  if (typeof x !== "string" || !/^[A-Za-z0-9_-]+$/.test(x)) throw new Error("not base64url");
  return Uint8Array.from(atob(x.replaceAll("-", "+").replaceAll("_", "/")), (c) => c.charCodeAt(0));
}
