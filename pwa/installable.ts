import type { VitePWAOptions } from "vite-plugin-pwa";

/** What the phone keeps of the app, and how it looks among the phone's other apps. */
export const installable: Partial<VitePWAOptions> = {
  strategies: "generateSW",
  filename: "sw.js",
  injectRegister: false, // src/view/offline.ts does it, and lets a newer version wait
  registerType: "prompt",
  workbox: {
    // The coin book too, in every language and country: so what was never opened is there offline, and
    // a newer app, its core and its book arrive together or not at all.
    globPatterns: ["**/*.{html,js,css,svg,png,wasm}", "book/**/*.json"],
    maximumFileSizeToCacheInBytes: 16 << 20, // the core is a few megabytes
    // Names with a hash never change their content; all others get a revision.
    dontCacheBustURLsMatching: /^(assets\/.*-[A-Za-z0-9_-]{8}|book\/.*-[0-9a-f]{16})\./,
    navigateFallback: "index.html",
    // What the laptop alone can answer.
    navigateFallbackDenylist: [/^\/api\//, /^\/healthz$/, /^\/trust/, /\/[^/]+\.[^/]+$/],
    skipWaiting: false,
    clientsClaim: false,
    cleanupOutdatedCaches: true,
    inlineWorkboxRuntime: true,
    importScripts: ["/share-target.js", "/not-through-here.js"],
    sourcemap: false,
  },
  manifest: {
    id: "/",
    name: "Panside",
    short_name: "Panside",
    description: "Weighs coins beside the scale and says what the weight means.",
    lang: "en",
    start_url: "/",
    scope: "/",
    display: "standalone",
    background_color: "#15120d",
    theme_color: "#15120d",
    categories: ["utilities"],
    orientation: "any",
    launch_handler: { client_mode: ["navigate-existing", "auto"] },
    share_target: {
      action: "/share-photos",
      method: "POST",
      enctype: "multipart/form-data",
      params: { files: [{ name: "photos", accept: ["image/*"] }] },
    },
    icons: [
      { src: "/icons/icon-192.png", sizes: "192x192", type: "image/png" },
      { src: "/icons/icon-512.png", sizes: "512x512", type: "image/png" },
      { src: "/icons/maskable-512.png", sizes: "512x512", type: "image/png", purpose: "maskable" },
      { src: "/icon.svg", sizes: "any", type: "image/svg+xml" },
    ],
    shortcuts: [
      { name: "Weigh", url: "/#/weigh", icons: [{ src: "/icons/icon-192.png", sizes: "192x192" }] },
      { name: "Hands-free", url: "/#/hands", icons: [{ src: "/icons/icon-192.png", sizes: "192x192" }] },
      { name: "Type a weight", url: "/#/type", icons: [{ src: "/icons/icon-192.png", sizes: "192x192" }] },
    ],
  },
};
