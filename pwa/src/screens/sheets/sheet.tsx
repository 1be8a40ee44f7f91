import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";
import { text } from "../../text";
import { type SheetName, useView } from "../../view/context";
import { I } from "../../view/icons";

/** A sheet over the screen: the browser's own dialog, so that Esc and Back close it. */
export function Sheet(props: { name: SheetName; title: string; children: ComponentChildren }) {
  const view = useView();
  const open = view.sheet.value === props.name;
  const dialog = useRef<HTMLDialogElement>(null);
  const ours = useRef(false);
  useEffect(() => {
    const d = dialog.current;
    if (open && d && !d.open) d.showModal();
    if (!open && d?.open) {
      ours.current = true;
      d.close();
    }
  }, [open]);
  const close = () => {
    if (view.sheet.value === props.name) view.sheet.value = null;
  };
  // The browser tells of a closing later, when the sheet may be asked for again:
  // only one of its own, by Esc or Back, is news.
  const closed = () => {
    if (!ours.current) close();
    ours.current = false;
  };
  const titleId = `sheet-${props.name}`;
  return (
    // biome-ignore lint/a11y/useKeyWithClickEvents: a tap beside the sheet closes it; with keys, Esc does
    <dialog
      ref={dialog}
      class="sheet"
      aria-labelledby={titleId}
      onClose={closed}
      onClick={(e) => e.target === dialog.current && close()}
    >
      {open && (
        <div class="sheet-inside">
          <div class="sheet-head">
            <h2 id={titleId}>{props.title}</h2>
            <button type="button" class="icon-button" data-do="close" onClick={close}>
              <I name="close" />
              <span class="unseen">{text.nav.close}</span>
            </button>
          </div>
          {props.children}
        </div>
      )}
    </dialog>
  );
}
