import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { useApp } from "../../app/context";
import type { Offer } from "../../sync/api";
import { text } from "../../text";
import { clockText } from "./time";

/** A code is renewed this long before it ends, so that one being scanned still works. */
const renewBeforeS = 20;
const retryMs = 5000;

/** The square code that lets one phone in, always a fresh one while the page is in front. */
export function OfferPanel() {
  const app = useApp();
  const offer = useSignal<Offer | null>(null);
  const endsAt = useSignal(0); // by performance.now()
  const failed = useSignal(false);
  const hidden = useSignal(document.hidden);
  const address = useSignal("");
  const now = useSignal(performance.now());

  useEffect(() => {
    let timer: ReturnType<typeof setTimeout> | undefined;
    let current = true;
    const fetchOne = async () => {
      clearTimeout(timer);
      if (document.hidden) return;
      let wait = retryMs;
      try {
        const o = await app.api.offer(address.value);
        if (!current) return;
        offer.value = o;
        endsAt.value = performance.now() + 1000 * (o.expires_in_s - renewBeforeS);
        failed.value = false;
        wait = Math.max(retryMs, 1000 * (o.expires_in_s - renewBeforeS));
      } catch {
        if (!current) return;
        failed.value = true;
        offer.value = null;
      }
      clearTimeout(timer);
      timer = setTimeout(fetchOne, wait);
    };
    // A code isn't left standing on a page that nobody looks at.
    const onVisible = () => {
      hidden.value = document.hidden;
      offer.value = null;
      void fetchOne();
    };
    const stopAddress = address.subscribe(() => void fetchOne());
    const seconds = setInterval(() => {
      now.value = performance.now();
    }, 1000);
    document.addEventListener("visibilitychange", onVisible);
    return () => {
      current = false;
      stopAddress();
      clearTimeout(timer);
      clearInterval(seconds);
      document.removeEventListener("visibilitychange", onVisible);
    };
  }, [app, offer, endsAt, failed, hidden, address, now]);

  const o = offer.value;
  return (
    <section class="panel offer" aria-labelledby="offer-title" data-part="offer">
      <h2 id="offer-title">{text.desk.offerTitle}</h2>
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
            <label class="field">
              <span>{text.desk.address}</span>
              <select
                name="address"
                value={address.value || o.addresses[0]}
                onChange={(e) => {
                  address.value = e.currentTarget.value;
                }}
              >
                {o.addresses.map((a) => (
                  <option key={a} value={a}>
                    {bareAddress(a)}
                  </option>
                ))}
              </select>
            </label>
          )}
          {o && o.addresses.length <= 1 && <p class="figures offer-address">{bareAddress(o.url)}</p>}
          <p class="quiet figures" data-part="offer-left">
            {words(o, (endsAt.value - now.value) / 1000, failed.value, hidden.value)}
          </p>
        </div>
      </div>
      {o && <p class="quiet small">{text.desk.warns(`http://${bareAddress(o.url)}`)}</p>}
    </section>
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
