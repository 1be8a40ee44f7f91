// Part of the service worker: what only the laptop can answer passes the worker
// by, in browsers that let it say so. Else each question wakes it, and an old
// worker that is woken all the time never makes room for a newer one.
self.addEventListener("install", (event) => {
  try {
    const anywhere = { protocol: "https", hostname: "*", port: "*", pathname: "/api/*" };
    event.addRoutes?.([{ condition: { urlPattern: anywhere }, source: "network" }])?.catch?.(() => {});
  } catch {
    // A browser with other words for it: the worker is asked, and lets it through.
  }
});
