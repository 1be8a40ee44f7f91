import type { Journal } from "./journal";
import type { Exchange } from "./night";

/** How a pull ended: “forked” and “restart” both mean that a push has to follow. */
export interface PullEnd {
  forked: boolean;
  restart: boolean;
  /** Entries that the laptop has and this app can't read. */
  unreadable: number;
}

/** Fetches what is new, page by page; each page is stored with its cursor before the next is asked for. */
export async function pull(
  journal: Journal,
  exchange: Exchange,
  onPage: (entries: number) => void,
): Promise<PullEnd> {
  const end: PullEnd = { forked: false, restart: false, unreadable: 0 };
  for (;;) {
    const { cursor, receipt } = await journal.marks();
    const query = new URLSearchParams({ after: cursor, receipt, v: "1" });
    const response = await exchange("GET", `/api/v1/journal?${query}`);
    const answer = await journal.pulled(await response.text());
    end.restart ||= answer.restart;
    end.unreadable += answer.unreadable;
    if (answer.forked.length > 0) return { ...end, forked: true };
    onPage(answer.entries.length);
    if (!answer.more) return end;
  }
}
