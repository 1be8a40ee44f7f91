import { useEffect, useLayoutEffect, useRef } from "preact/hooks";
import { put, useForm } from "../form/kept";

/**
 * Where the list of finds was left for one of its finds: whoever goes through
 * many opens them one after another and wants to go on where they were.
 */
export const useListPlace = () => useForm("finds-place", {});

/** How much of the list is shown. */
export function useUnfolding(first: number): { shown: number; more: () => void } {
  const place = useListPlace();
  const shown = Number(place.value.shown ?? first);
  return { shown, more: () => put(place, { shown: String(shown + first) }) };
}

const ofOne = () => location.hash.startsWith("#/finds/");

/** Scrolls back once the list is filled. */
export function useScrolledBack(filled: boolean): void {
  const place = useListPlace();
  const y = useRef(0);
  useEffect(() => {
    const note = () => {
      // The page moves to its top for the find before the list is gone.
      if (!ofOne()) y.current = scrollY;
    };
    note();
    addEventListener("scroll", note, { passive: true });
    return () => {
      removeEventListener("scroll", note);
      put(place, { y: ofOne() ? String(y.current) : "" });
    };
  }, [place]);
  useLayoutEffect(() => {
    if (filled && place.peek().y) scrollTo(0, Number(place.peek().y));
  }, [filled, place]);
}
