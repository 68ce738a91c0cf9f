import react from "@vitejs/plugin-react";
import { fileURLToPath } from "node:url";
import { defineConfig } from "vite";

/** The screens are built to `dist/renderer`; nothing is inlined, since the doors' content policy allows files of our own only. */
export default defineConfig({
  root: fileURLToPath(new URL(".", import.meta.url)),
  base: "/",
  plugins: [react()],
  // Workers load their readers when one is needed, which only modules can.
  worker: { format: "es" },
  build: {
    outDir: fileURLToPath(new URL("../dist/renderer", import.meta.url)),
    emptyOutDir: true,
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    target: "es2023",
  },
});
