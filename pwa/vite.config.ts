import { readdirSync, rmSync } from "node:fs";
import { join } from "node:path";
import { defineConfig, type Plugin } from "vite";
import { VitePWA } from "vite-plugin-pwa";
import { installable } from "./installable";

/** What git keeps in dist so that a fresh clone can embed the folder. */
const kept = "placeholder.txt";

/** Empties dist before a build, as emptyOutDir would, except for what git keeps. */
function emptyDist(): Plugin {
  return {
    name: "panside-empty-dist",
    apply: "build",
    buildStart() {
      const dist = join(import.meta.dirname, "dist");
      try {
        for (const name of readdirSync(dist)) {
          if (name !== kept) rmSync(join(dist, name), { recursive: true });
        }
      } catch (cause) {
        if ((cause as NodeJS.ErrnoException).code !== "ENOENT") throw cause;
      }
    },
  };
}

export default defineConfig({
  plugins: [emptyDist(), VitePWA(installable)],
  worker: { format: "es" },
  build: {
    target: "es2022",
    outDir: "dist",
    emptyOutDir: false,
    assetsInlineLimit: 0, // the content policy allows files of ours, no data: addresses
    modulePreload: { polyfill: false },
  },
  server: {
    port: 5273,
    proxy: { "/api": { target: "http://127.0.0.1:5280", ws: true }, "/healthz": "http://127.0.0.1:5280" },
  },
});
