import { defineConfig } from "@playwright/test";
import { findChromium } from "./tools/chromium.ts";

export default defineConfig({
  testDir: "tests/screens",
  globalSetup: "./tests/support/ownTemp.ts",
  outputDir: ".cache/playwright",
  // A browser, the host it talks to and the measuring worker keep a small machine of two cores busy already.
  workers: 1,
  fullyParallel: false,
  forbidOnly: true,
  retries: 0,
  timeout: 300_000,
  expect: { timeout: 30_000 },
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
