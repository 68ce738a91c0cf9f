import { defineConfig } from "@playwright/test";
import { findChromium } from "./tools/chromium.ts";

export default defineConfig({
  testDir: "tests/screens",
  outputDir: ".cache/playwright",
  // Each worker drives a browser of its own; two of them are what a small machine bears beside the host they talk to.
  workers: 2,
  fullyParallel: false,
  forbidOnly: true,
  retries: 0,
  timeout: 60_000,
  reporter: [["list"], ["json", { outputFile: process.env.PLAYWRIGHT_JSON_OUTPUT_NAME ?? ".cache/test-results/playwright.json" }]],
  use: {
    locale: "en-GB",
    launchOptions: {
      executablePath: findChromium(),
      args: ["--disable-quic", "--disable-background-networking", "--disable-component-update", "--disable-sync", ...asRoot()],
    },
  },
});

/** Chromium's own sandbox cannot be set up for root, who runs the tests in a container. */
function asRoot(): string[] {
  return process.getuid?.() === 0 ? ["--no-sandbox"] : [];
}
