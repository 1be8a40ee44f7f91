// Part of the service worker: takes photos that another app shares with this
// one, puts them by (src/view/shared-photos.ts reads them) and opens the app.
(() => {
  const cacheName = "panside-shared-photos";
  const mostPhotos = 40;

  self.addEventListener("fetch", (event) => {
    const { request } = event;
    if (request.method === "POST" && new URL(request.url).pathname === "/share-photos") {
      event.respondWith(take(request));
    }
  });

  async function take(request) {
    try {
      const form = await request.formData();
      const cache = await caches.open(cacheName);
      const photos = form.getAll("photos").filter((f) => f instanceof File && f.type.startsWith("image/"));
      for (const [i, photo] of photos.slice(0, mostPhotos).entries()) {
        const headers = { "Content-Type": photo.type, "X-Name": encodeURIComponent(photo.name) };
        const key = `/shared/${String(Date.now()).padStart(15, "0")}-${String(i).padStart(3, "0")}`;
        await cache.put(key, new Response(photo, { headers }));
      }
    } catch {
      // The phone is full, or the form was no form: the app opens all the same, and says how many wait.
    }
    return Response.redirect("/#/shared", 303);
  }
})();
