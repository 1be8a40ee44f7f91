import type { RecordsBrowser } from "./browser";

/** The locks of one browser, which all its pages share, as far as a request that doesn't wait goes. */
export function locksOfOneBrowser(): NonNullable<RecordsBrowser["locks"]> {
  const held = new Set<string>();
  const request = async (name: string, options: LockOptions, act: (lock: Lock | null) => unknown) => {
    if (!options.ifAvailable) throw new Error("would wait");
    if (held.has(name)) return act(null);
    held.add(name);
    try {
      return await act({ name, mode: "exclusive" });
    } finally {
      held.delete(name);
    }
  };
  return { request } as unknown as NonNullable<RecordsBrowser["locks"]>;
}
