import { fileURLToPath } from "node:url";
import { defineConfig } from "vite";

/** The phone's page is built by itself to `dist/phone`: the phone door serves that folder and nothing of the screens. */
export default defineConfig({
  root: fileURLToPath(new URL(".", import.meta.url)),
  publicDir: fileURLToPath(new URL("../public", import.meta.url)),
  build: {
    outDir: fileURLToPath(new URL("../../dist/phone", import.meta.url)),
    emptyOutDir: true,
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    target: "es2022",
  },
});
