import { type Clock, elapsed, type Moment, type Received } from "./age";
import { type ByeMessage, type PanMessage, parseServerMessage, type RecordsMessage } from "./wire";

/** How the line to the server stands. */
export type Connection = "off" | "connecting" | "open" | "waiting";

/** The part of WebSocket that is used, so that tests can stand one in. */
export interface SocketLike {
  onopen: ((e: unknown) => void) | null;
  onmessage: ((e: { data: unknown }) => void) | null;
  onclose: ((e: unknown) => void) | null;
  onerror: ((e: unknown) => void) | null;
  send(data: string): void;
  close(): void;
}

export interface LiveOptions {
  /** A socket to the server, once it is known where that is; rejected if it is nowhere. */
  open(): SocketLike | Promise<SocketLike>;
  token(): string | null;
  clock: Clock;
  onWeight(received: Received): void;
  onConnection(line: Connection): void;
  onBye(bye: ByeMessage): void;
  /** Another phone's finds came to the laptop, or there is news of photos: another number. */
  onNotice?(cursor: string, photos: number): void;
  /** Who holds the pan has changed, or is told after the hello. */
  onPan?(pan: PanMessage): void;
  /** How the laptop’s records are has changed, or is told after the hello. */
  onRecords?(records: RecordsMessage): void;
  /** 0 to 1, spreads the retries of several phones. */
  random?(): number;
}

export const connectLimitMs = 5000;
/** The server sends at least one message a second; after this silence the line is taken for dead. */
export const silenceLimitMs = 3500;
const firstRetryMs = 400;
const lastRetryMs = 5000;

/**
 * Keeps one live line to the server: says hello, hands on the newest weight,
 * notices a dead line and tries again, each time a little later, for ever.
 *
 * Messages may be missing (newest only); one that is not newer than the last on
 * the same line is dropped.
 */
export class LiveClient {
  private readonly options: LiveOptions;
  private socket: SocketLike | null = null;
  /** Counts the tries, so that a socket that comes late to an older one isn't used. */
  private tries = 0;
  private connection: Connection = "off";
  private lastSeq = -1;
  private heardAt: Moment | null = null;
  private failures = 0;
  private wanted = false;
  private timer: ReturnType<typeof setTimeout> | undefined;

  constructor(options: LiveOptions) {
    this.options = options;
  }

  start(): void {
    if (this.wanted) return;
    this.wanted = true;
    this.failures = 0;
    this.connect();
  }

  stop(): void {
    this.wanted = false;
    this.drop();
    this.set("off");
  }

  /**
   * The page goes out of sight for good or for a while: an open socket would
   * keep it out of the browser’s memory, and count against this device.
   */
  rest(): void {
    if (!this.wanted) return;
    this.drop();
    this.set("waiting");
  }

  /**
   * The page is back in front, or the network is. A line that has been silent
   * is not trusted: a socket that died while the phone slept may still claim to
   * be open.
   */
  wake(): void {
    if (!this.wanted) return;
    const quiet =
      this.heardAt === null || elapsed(this.heardAt, this.options.clock.now()) > silenceLimitMs / 2;
    if (this.connection === "open" && !quiet) return;
    if (this.connection === "connecting") return;
    this.failures = 0;
    this.connect();
  }

  /** Begins a new line, for a laptop that is to speak another language on it. */
  renew(): void {
    if (this.wanted && this.connection !== "off") this.connect();
  }

  /** Says something to the server; false if there is no line to say it on. */
  say(message: object): boolean {
    if (this.connection !== "open" || !this.socket) return false;
    this.socket.send(JSON.stringify(message));
    return true;
  }

  private connect(): void {
    this.drop();
    const token = this.options.token();
    if (!token) {
      this.set("off");
      return;
    }
    // While one try follows another it stays “waiting”: words that come and go help nobody.
    if (this.failures === 0) this.set("connecting");
    const mine = this.tries;
    let opened: SocketLike | Promise<SocketLike>;
    try {
      opened = this.options.open();
    } catch {
      this.retryLater();
      return;
    }
    if (!(opened instanceof Promise)) {
      this.use(opened, token);
      return;
    }
    opened.then(
      (socket) => {
        if (mine === this.tries) this.use(socket, token);
        else socket.close();
      },
      () => {
        if (mine === this.tries) this.retryLater();
      },
    );
  }

  private use(socket: SocketLike, token: string): void {
    this.socket = socket;
    this.lastSeq = -1;
    const current = () => this.socket === socket;
    socket.onopen = () => {
      if (current()) socket.send(JSON.stringify({ type: "hello", token }));
    };
    socket.onmessage = (e) => {
      if (current()) this.receive(e.data);
    };
    socket.onclose = () => {
      if (current()) this.retryLater();
    };
    socket.onerror = () => {
      if (current()) this.retryLater();
    };
    this.after(connectLimitMs, () => this.retryLater());
  }

  private receive(data: unknown): void {
    const message = parseServerMessage(data);
    if (!message) return;
    if (message.type === "bye") {
      this.options.onBye(message);
      this.retryLater();
      return;
    }
    const at = this.options.clock.now();
    this.heardAt = at;
    this.failures = 0;
    this.after(silenceLimitMs, () => this.connect());
    this.set("open");
    if (message.type === "notice") {
      this.options.onNotice?.(message.cursor, message.photos ?? 0);
      return;
    }
    if (message.type === "pan") {
      this.options.onPan?.(message);
      return;
    }
    if (message.type === "records") {
      this.options.onRecords?.(message);
      return;
    }
    if (message.seq <= this.lastSeq) return;
    this.lastSeq = message.seq;
    this.options.onWeight({ message, at });
  }

  private retryLater(): void {
    this.drop();
    if (!this.wanted) return;
    this.set("waiting");
    const base = Math.min(lastRetryMs, firstRetryMs * 2 ** this.failures);
    this.failures++;
    const spread = 0.75 + 0.5 * (this.options.random ?? Math.random)();
    this.after(base * spread, () => this.connect());
  }

  private drop(): void {
    this.tries++;
    clearTimeout(this.timer);
    const socket = this.socket;
    this.socket = null;
    if (!socket) return;
    socket.onopen = socket.onmessage = socket.onclose = socket.onerror = null;
    try {
      socket.close();
    } catch {
      // It was never opened; there is nothing to close.
    }
  }

  private after(ms: number, act: () => void): void {
    clearTimeout(this.timer);
    this.timer = setTimeout(act, ms);
  }

  private set(line: Connection): void {
    if (this.connection === line) return;
    this.connection = line;
    this.options.onConnection(line);
  }
}
