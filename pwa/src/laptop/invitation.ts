/** What the QR code's address carries after the #, where no log sees it. */
export interface Invitation {
  /** The one-time secret. */
  secret: string;
  /** The fingerprint of the server's key, empty if the address has none. */
  key: string;
}

/** Reads “#join=SECRET&key=FINGERPRINT”; null for any other fragment. */
export function readInvitation(hash: string): Invitation | null {
  const parts = new URLSearchParams(hash.replace(/^#/, ""));
  const secret = parts.get("join")?.trim();
  if (!secret) return null;
  return { secret, key: parts.get("key")?.trim() ?? "" };
}

/** The kinds of device that a browser tells of itself; each has a name in the texts. */
export const deviceKinds = ["iphone", "ipad", "android", "windows", "mac", "linux", "other"] as const;
export type DeviceKind = (typeof deviceKinds)[number];

/** The kind of device by its user agent string, for a first name only. */
export function deviceKind(userAgent: string, touchPoints: number): DeviceKind {
  if (/iPhone|iPod/.test(userAgent)) return "iphone";
  if (/iPad/.test(userAgent)) return "ipad";
  if (/Android/.test(userAgent)) return "android";
  if (/Windows/.test(userAgent)) return "windows";
  // Tablets of that system say they are a desktop; a desktop has no touch screen.
  if (/Macintosh/.test(userAgent)) return touchPoints > 1 ? "ipad" : "mac";
  if (/Linux|CrOS/.test(userAgent)) return "linux";
  return "other";
}
