import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";

/** The drawing of a kind, in the ink of the page; nothing where there is none. */
export function Drawing({ name }: { name: string }) {
  const svg = useSignal("");
  useEffect(() => {
    let wanted = true;
    import("./all-drawings").then(
      ({ drawings }) => {
        if (wanted) svg.value = drawings.get(name) ?? "";
      },
      () => {}, // offline before the first drawing: the words say the same
    );
    return () => {
      wanted = false;
    };
  }, [name, svg]);
  if (!svg.value) return null;
  // A file of this project, put in at build time: nothing from outside gets here.
  return <div class="drawing" dangerouslySetInnerHTML={{ __html: svg.value }} />;
}
