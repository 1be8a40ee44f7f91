import { useSignal } from "@preact/signals";
import { useEffect, useMemo, useRef } from "preact/hooks";
import type { Offer } from "../../laptop/api";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { Select } from "../form/controls";
import { Offering } from "./offering";
import { clockText } from "./time";

/** The square code that lets one phone in, always a fresh one while the page is in front. */
export function OfferPanel() {
  const app = useApp();
  const offering = useMemo(() => new Offering(app.api), [app]);
  const hidden = useSignal(document.hidden);
  const title = useRef<HTMLHeadingElement>(null);

  useEffect(() => {
    const onVisible = () => {
      hidden.value = document.hidden;
      if (document.hidden) offering.stop();
      else offering.start();
    };
    onVisible();
    document.addEventListener("visibilitychange", onVisible);
    return () => {
      offering.stop();
      document.removeEventListener("visibilitychange", onVisible);
    };
  }, [offering, hidden]);

  const { closed, authority_lines } = offering.joining.value;
  return (
    <section class="panel offer" aria-labelledby="offer-title" data-part="offer">
      <h2 id="offer-title" tabIndex={-1} ref={title}>
        {text.desk.offerTitle}
      </h2>
      {closed ? (
        <Closed
          failed={offering.failed.value}
          open={() => {
            title.current?.focus(); // the button goes
            void offering.open();
          }}
        />
      ) : (
        <Code offering={offering} hidden={hidden.value} />
      )}
      {authority_lines.length > 0 && (
        <>
          <p class="quiet small">{text.desk.compare}</p>
          <p class="authority-lines" data-part="authority-lines">
            {authority_lines.map((l) => (
              <code key={l}>{l}</code>
            ))}
          </p>
        </>
      )}
    </section>
  );
}

/** What stands in the code’s place once somebody tried wrong ones. */
function Closed({ failed, open }: { failed: boolean; open(): void }) {
  return (
    <div class="offer-closed">
      <p class="problem" role="alert" data-part="offer-closed">
        {text.desk.closed}
      </p>
      <p>{text.desk.closedHow}</p>
      {failed && <p class="quiet">{text.desk.openFailed}</p>}
      <p class="acts">
        <button type="button" class="button" data-do="offer-open" onClick={open}>
          {text.desk.openAgain}
        </button>
      </p>
    </div>
  );
}

function Code({ offering, hidden }: { offering: Offering; hidden: boolean }) {
  const now = useSignal(performance.now());
  useEffect(() => {
    const seconds = setInterval(() => {
      now.value = performance.now();
    }, 1000);
    return () => clearInterval(seconds);
  }, [now]);

  const o = offering.offer.value;
  return (
    <>
      <div class="offer-inside">
        <div class="qr">
          {o && (
            <a href={o.url} data-part="offer-link" tabIndex={-1} onClick={(e) => e.preventDefault()}>
              <img alt={text.desk.qrAlt} src={`data:image/svg+xml,${encodeURIComponent(o.qr_svg)}`} />
            </a>
          )}
        </div>
        <div>
          <p>{text.desk.offerHow}</p>
          {o && o.addresses.length > 1 && (
            <Select
              name="address"
              label={text.desk.address}
              none={null}
              value={offering.address.value || (o.addresses[0] ?? "")}
              options={o.addresses.map((a) => ({ id: a, words: bareAddress(a) }))}
              onPick={(address) => offering.choose(address)}
            />
          )}
          {o && o.addresses.length <= 1 && <p class="figures offer-address">{bareAddress(o.url)}</p>}
          <p class="quiet figures" data-part="offer-left">
            {words(o, (offering.endsAt.value - now.value) / 1000, offering.failed.value, hidden)}
          </p>
          {!hidden && (
            <p>
              <button type="button" class="button" data-do="offer-renew" onClick={() => offering.renew()}>
                {text.desk.renew}
              </button>
            </p>
          )}
        </div>
      </div>
      {o && <p class="quiet small">{text.desk.warns(`http://${bareAddress(o.url)}`)}</p>}
    </>
  );
}

function words(o: Offer | null, left: number, failed: boolean, hidden: boolean): string {
  if (o) return text.desk.left(clockText(left));
  if (hidden) return text.desk.paused;
  return failed ? text.desk.offerFailed : text.desk.fetching;
}

/** The part of an address a person reads: no scheme, no secret. */
function bareAddress(url: string): string {
  try {
    return new URL(url).host;
  } catch {
    return "";
  }
}
