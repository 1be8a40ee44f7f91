/** Runs act once the first screen has been painted and the browser is idle. */
export function whenPainted(act: () => void): void {
  const idle = () => {
    if ("requestIdleCallback" in window) requestIdleCallback(act, { timeout: 2000 });
    else setTimeout(act, 200);
  };
  if (document.hidden) setTimeout(act, 0);
  else requestAnimationFrame(() => requestAnimationFrame(idle));
}
