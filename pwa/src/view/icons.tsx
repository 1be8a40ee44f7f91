import type { JSX } from "preact";

/**
 * The app's own drawings, 24 by 24, in the ink of the text around them. Each is
 * shown beside its word, so all are hidden from screen readers.
 */
function Icon({ children, filled }: { children: JSX.Element | JSX.Element[]; filled?: boolean }) {
  return (
    <svg
      class="icon"
      viewBox="0 0 24 24"
      aria-hidden="true"
      focusable="false"
      fill={filled ? "currentColor" : "none"}
      stroke={filled ? "none" : "currentColor"}
      stroke-width="1.8"
      stroke-linecap="round"
      stroke-linejoin="round"
    >
      {children}
    </svg>
  );
}

const drawings = {
  // Phases: a shallow pan on its foot, and what lies on it.
  none: (
    <g>
      <path d="M4 15c2.5 3 13.5 3 16 0" stroke-dasharray="2 3" />
      <path d="M12 17.500V20M8.5 20h7" />
    </g>
  ),
  empty: <path d="M3.5 13.500c2.6 4 14.4 4 17 0M12 16.500V20M8.5 20h7" />,
  moving: (
    <path d="M3.5 16.200c3 3 14.2 1.6 17-3.400M12 17V20M8.5 20h7M7 6c1.7-1.6 3.3 1.6 5 0s3.3 1.6 5 0" />
  ),
  settled: (
    <g>
      <path d="M3.5 13.500c2.6 4 14.4 4 17 0M12 16.500V20M8.5 20h7" />
      <rect x="7" y="8.5" width="10" height="3.6" rx="1.2" fill="currentColor" />
    </g>
  ),
  over: (
    <path d="M3.5 15.500c2.6 3.4 14.4 3.4 17 0M8.5 21h7M12 18v3M12 2.500v8.500M8.5 7.800l3.5 3.5 3.5-3.5" />
  ),
  under: (
    <path d="M3.5 15.500c2.6 3.4 14.4 3.4 17 0M8.5 21h7M12 18v3M12 11.500V3M8.5 6.200L12 2.700l3.5 3.5" />
  ),
  withheld: (
    <path d="M3.5 15.500c2.6 3.4 14.4 3.4 17 0M8.5 21h7M12 18v3M8 10.500V4M5.5 6.500L8 4l2.5 2.500M16 3.500v6.500M13.5 7.500L16 10l2.5-2.500" />
  ),
  // Line and state.
  stale: (
    <path d="M7 3.500h10M7 20.500h10M8 3.500c0 5 8 5.5 8 8.500s-8 3.5-8 8.500M16 3.500c0 5-8 5.5-8 8.500s8 3.5 8 8.5" />
  ),
  plug: <path d="M9 3v5M15 3v5M6.5 8h11v3.500a5.5 5.5 0 0 1-11 0zM12 17v4" />,
  warning: <path d="M12 4L21 19.500H3zM12 10v4.500M12 17v.1" />,
  line: <path d="M5 12.500a10 10 0 0 1 14 0M8 15.800a5.8 5.8 0 0 1 8 0M12 19.200v.1" />,
  lineLost: (
    <path d="M5 12.500a10 10 0 0 1 5-2.700M14.5 10a10 10 0 0 1 4.5 2.500M8 15.800a5.8 5.8 0 0 1 3-1.600M12 19.200v.1M4 4l16 16" />
  ),
  // Tools.
  eye: (
    <g>
      <path d="M2.5 12c4.5-7 14.5-7 19 0-4.5 7-14.5 7-19 0z" />
      <circle cx="12" cy="12" r="3" />
    </g>
  ),
  loupe: (
    <g>
      <circle cx="10" cy="10" r="6.5" />
      <path d="M14.8 14.800L21 21M7 10a3 3 0 0 1 3-3" />
    </g>
  ),
  microscope: (
    <path d="M9 3.500l4.5 2-4 9-4.5-2zM7.3 13.500L6 16.500M13.3 9a6 6 0 0 1-1 11M5 20.500h14M6 17.500h6" />
  ),
  magnet: <path d="M5 4h4v8.500a3 3 0 0 0 6 0V4h4v8.500a7 7 0 0 1-14 0zM5 8h4M15 8h4" />,
  scale: <path d="M3.5 7.500c2.6 4 14.4 4 17 0M12 10.500V14M4 20.500l1.5-6.500h13l1.5 6.500zM10 17.300h4" />,
  calipers: <path d="M4 3v17l3-3.500V3zM7 5h13v3h-7M13 8v8l-2.8-3V8M10.2 8H7" />,
  // Tools beside the scale.
  tools: (
    <g>
      <path d="M4 9.500h16v10H4zM8.5 9.500V6.200h7v3.300M4 14h5.500M14.5 14H20" />
      <rect x="9.5" y="12.2" width="5" height="3.6" rx="0.8" />
    </g>
  ),
  book: (
    <g>
      <path d="M5 4.500h11.500a2 2 0 0 1 2 2v13H7a2 2 0 0 1-2-2zM5 17.200a2 2 0 0 1 2-1.700h11.5" />
      <circle cx="11.8" cy="10" r="2.800" />
    </g>
  ),
  fits: (
    <g>
      <circle cx="12" cy="12" r="8.500" />
      <path d="M9.5 9.700c0-3.400 5-3.400 5 0 0 2-2.5 2-2.5 4.300M12 16.800v.1" />
    </g>
  ),
  identify: (
    <g>
      <circle cx="6" cy="6" r="2.300" />
      <path d="M7.6 7.700L12 12M12 12L6.500 18.500M12 12l6 5.500M12 12l6-4.500" />
      <circle cx="19" cy="6.7" r="1.400" fill="currentColor" />
      <circle cx="19" cy="18.300" r="1.400" fill="currentColor" />
      <circle cx="5.7" cy="19.300" r="1.400" fill="currentColor" />
    </g>
  ),
  ring: (
    <g>
      <ellipse cx="10" cy="9" rx="7" ry="2.300" />
      <path d="M10 11.500c-.8 2-1 4-1 9M10 11.500c.8 2 1.500 4 1.500 9M19.500 4.500c1.600 2.700 1.600 6.300 0 9M16.800 3l-3.300 3.500" />
    </g>
  ),
  "second-look": (
    <g>
      <circle cx="11" cy="11" r="7.500" />
      <path d="M16.500 16.500l5 5M7.500 11.500h7M7.500 9.800v3.400M14.500 9.800v3.400" />
    </g>
  ),
  density: (
    <g>
      <path d="M5 7v11.500a2 2 0 0 0 2 2h10a2 2 0 0 0 2-2V7M5 11c2.300-1.600 4.700 1.600 7 0s4.700 1.600 7 0M12 2.500v11" />
      <circle cx="12" cy="15.700" r="2.200" />
    </g>
  ),
  roll: (
    <path d="M5 7.500c0-3.400 14-3.400 14 0s-14 3.400-14 0zM5 7.500v4.500c0 3.400 14 3.400 14 0V7.500M5 12v4.500c0 3.400 14 3.400 14 0V12" />
  ),
  // What is kept.
  finds: (
    <g>
      <path d="M3.5 13.500h5l1.500 2.500h4l1.500-2.500h5v6h-17zM3.5 13.500l2.300-4.500h2M20.5 13.500l-2.300-4.500h-2" />
      <circle cx="12" cy="7.500" r="4" />
    </g>
  ),
  camera: (
    <g>
      <path d="M3.5 7.500h4l1.500-2.500h6l1.500 2.500h4v11.500h-17z" />
      <circle cx="12" cy="13" r="3.600" />
    </g>
  ),
  // Acts.
  settings: <path d="M4 7h9M17 7h3M4 17h3M11 17h9M13 4.500v5h4v-5zM7 14.500v5h4v-5z" />,
  close: <path d="M6 6l12 12M18 6L6 18" />,
  keyboard: <path d="M3 6.500h18v11H3zM7 10.200v.1M11 10.200v.1M15 10.200v.1M17.5 10.200v.1M8 14.200h8" />,
  phone: <path d="M7.5 3h9v18h-9zM11 18.200h2" />,
  laptop: <path d="M5 5h14v10.500H5zM2.5 19h19l-1.5-3.500H4z" />,
  digits: (
    <path
      d="M6 6v.1M12 6v.1M18 6v.1M6 12v.1M12 12v.1M18 12v.1M6 18v.1M12 18v.1M18 18v.1"
      stroke-width="3.2"
    />
  ),
  practice: (
    <g>
      <path d="M3.5 15.500c2.6 4 14.4 4 17 0M12 18.500V21.5" />
      <circle cx="12" cy="7.5" r="4.5" />
    </g>
  ),
  // Hands-free.
  hands: (
    <path d="M7.500 10a5 5 0 0 1 10 0c0 3.600-3.500 3.800-3.500 7a3.300 3.300 0 0 1-6 1.900M10.500 10.500a2 2 0 0 1 4 0c0 1.700-2 1.700-2 3.500M4.500 6.500a8 8 0 0 0 0 6" />
  ),
  soundOn: (
    <path d="M4 9.500v5h3.500l5 4v-13l-5 4zM16 9.200a4 4 0 0 1 0 5.600M18.500 6.700a7.500 7.500 0 0 1 0 10.600" />
  ),
  soundOff: <path d="M4 9.500v5h3.500l5 4v-13l-5 4zM16.500 9.500l5 5M21.500 9.500l-5 5" />,
  aside: (
    <g>
      <path d="M3.5 14.500v5h17v-5M12 13.500V4.500M8.500 10l3.5 3.500 3.500-3.500" />
    </g>
  ),
  takeBack: <path d="M9 5.500L4.500 10 9 14.500M4.500 10h9a5.500 5.500 0 0 1 0 9H9" />,
  stop: <path d="M6.5 6.500h11v11h-11z" />,
  clear: <path d="M8 5.500h12.500v13H8L2.5 12zM11.5 9.500l5 5M16.5 9.500l-5 5" />,
  others: (
    <g>
      <circle cx="8" cy="9" r="4.500" />
      <circle cx="16.500" cy="8" r="3" />
      <circle cx="15" cy="16.500" r="4" />
    </g>
  ),
  // A coin going onto a pile.
  always: (
    <path d="M12 3v6M9 6h6M4.5 13c0-2.700 15-2.700 15 0s-15 2.700-15 0zM4.5 13v3.500c0 2.700 15 2.700 15 0V13M4.5 16.500V20c0 2.700 15 2.700 15 0v-3.500" />
  ),
  next: <path d="M4 12h14M13 6.500l5.5 5.5-5.5 5.5" />,
} satisfies Record<string, JSX.Element>;

export type IconName = keyof typeof drawings;

export const isIconName = (name: string): name is IconName => name in drawings;

export function I({ name }: { name: IconName }) {
  return <Icon>{drawings[name]}</Icon>;
}

/**
 * The marks of a verdict. Each has an outline of its own, so that they are told
 * apart without colour: a whole coin, a pile of coins, a coin in two halves, a
 * jagged star with a loupe's ring, a broken ring.
 */
export function Mark({ call }: { call: "ordinary" | "keeper" | "either" | "look" | "cannot-tell" }) {
  return (
    <svg class={`mark mark-${call}`} viewBox="0 0 48 48" aria-hidden="true" focusable="false">
      {marks[call]}
    </svg>
  );
}

const marks = {
  ordinary: (
    <g>
      <circle cx="24" cy="24" r="20" fill="currentColor" />
      <circle
        cx="24"
        cy="24"
        r="15"
        fill="none"
        stroke="var(--hole)"
        stroke-width="1.5"
        stroke-dasharray="1.5 2.430"
      />
      <path
        d="M16 24.500l5.6 5.600L32.5 18.5"
        fill="none"
        stroke="var(--hole)"
        stroke-width="3.6"
        stroke-linecap="round"
        stroke-linejoin="round"
      />
    </g>
  ),
  keeper: (
    <g>
      <path
        d="M5 33v6c0 8 38 8 38 0v-6c0 6.500-38 6.500-38 0zM5 22.500v6c0 8 38 8 38 0v-6c0 6.500-38 6.500-38 0z"
        fill="currentColor"
      />
      <ellipse cx="24" cy="14" rx="19" ry="8.500" fill="currentColor" />
      <ellipse cx="24" cy="14" rx="13.500" ry="5.400" fill="none" stroke="var(--hole)" stroke-width="1.500" />
    </g>
  ),
  either: (
    <g>
      <path d="M21.5 4.200a20 20 0 0 0 0 39.600z" fill="currentColor" />
      <path
        d="M27.7 5.700a18.5 18.5 0 0 1 0 36.600z"
        fill="none"
        stroke="currentColor"
        stroke-width="3"
        stroke-linejoin="round"
      />
    </g>
  ),
  look: (
    <g>
      <path
        d="M24 1.500l5.7 7.8 8.9-3.7 1.1 9.6 9.1 3.5-5.2 8.1 4.8 8.5-9.4 2.2-1.7 9.5-8.7-4.200L24 47l-4.6-4.2-8.7 4.200L9 37.500l-9.4-2.2 4.8-8.500L-.800 18.700l9.1-3.5 1.1-9.6 8.9 3.700z"
        fill="currentColor"
        transform="translate(2.4 2.2) scale(.9)"
      />
      <circle cx="22.5" cy="22.5" r="8" fill="none" stroke="var(--hole)" stroke-width="3.4" />
      <path d="M28.5 28.500l6.5 6.5" stroke="var(--hole)" stroke-width="4.2" stroke-linecap="round" />
    </g>
  ),
  "cannot-tell": (
    <g>
      <circle
        cx="24"
        cy="24"
        r="19"
        fill="none"
        stroke="currentColor"
        stroke-width="3.4"
        stroke-dasharray="8 6.920"
      />
      <path
        d="M15 24c3-4.5 6 -4.5 9 0s6 4.5 9 0"
        fill="none"
        stroke="currentColor"
        stroke-width="3.4"
        stroke-linecap="round"
      />
    </g>
  ),
};
