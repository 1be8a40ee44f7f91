import { useEffect, useRef } from "preact/hooks";

/** Shows a camera's live picture in the box that it gives the reference for. */
export function useLiveVideo(view: HTMLVideoElement | null) {
  const box = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (!view) return;
    view.setAttribute("aria-hidden", "true");
    box.current?.prepend(view);
    void view.play().catch(() => {}); // it stopped while it was off the page
    return () => view.remove();
  }, [view]);
  return box;
}
