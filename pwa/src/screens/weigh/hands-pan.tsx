import { useEffect } from "preact/hooks";
import { newsWords } from "../../app/hands-app";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { I } from "../../view/icons";

/** In the place of the keys on a device that only watches: who holds the pan, and the tap that takes it over. */
export function WatchBar() {
  const app = useApp();
  const state = app.pan.state.value;
  if (state.is !== "other") return null;
  const d = app.denomination.value;
  return (
    <div class="watch-bar" data-part="watching">
      <I name={state.role === "desk" ? "laptop" : "phone"} />
      <p>
        <strong>{text.pan.other(state.name)}</strong>
        <span class="quiet">{text.pan.follows(d?.name ?? "")}</span>
      </p>
      <button type="button" class="button strong" data-do="take-over" onClick={() => app.takeOver()}>
        {text.pan.takeOver}
      </button>
    </div>
  );
}

const newsMs = 12_000;

/** What has just changed about the pan; the live region says the same. */
export function PanBar() {
  const { pan, hands } = useApp();
  const news = pan.news.value;
  useEffect(() => {
    if (!news) return;
    const timer = setTimeout(() => {
      if (pan.news.peek() === news) pan.news.value = null;
    }, newsMs);
    return () => clearTimeout(timer);
  }, [news, pan]);
  if (!news || hands.on.value) return null; // a sitting has its caption for it
  return (
    <section class="newer pan-news" aria-label={text.pan.label} data-part="pan-news" data-news={news.is}>
      <p>{newsWords(news)}</p>
      <button
        type="button"
        class="icon-button"
        data-do="close-news"
        onClick={() => {
          pan.news.value = null;
        }}
      >
        <I name="close" />
        <span class="unseen">{text.nav.close}</span>
      </button>
    </section>
  );
}
