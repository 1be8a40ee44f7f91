/** Lets one act after the other, over all pages of the phone. */
export type Lock = <T>(act: () => Promise<T>) => Promise<T>;

/** Puts acts in line: by the browser's own lock over all pages, or within this page where it has none. */
export function browserLock(name: string): Lock {
  const locks = typeof navigator === "undefined" ? undefined : navigator.locks;
  if (locks) return (act) => locks.request(name, act) as ReturnType<typeof act>;
  return lockOfOnePage();
}

export function lockOfOnePage(): Lock {
  let last: Promise<unknown> = Promise.resolve();
  return <T>(act: () => Promise<T>) => {
    const next = last.then(act, act);
    last = next.catch(() => {});
    return next;
  };
}
