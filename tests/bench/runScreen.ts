/**
 * The run screen with 100,000 checks in the library, in a real browser: time from the address to the first paint of a run's page and of its chart of 10,000
 * checks, and frame times while the chart is moved along. Argument: another number of checks. Screens are built first.
 */
import { join } from "node:path";
import { chromium } from "@playwright/test";
import { build } from "vite";
import { createApp } from "../../electron/host/app/app.ts";
import { startLoopbackDoor } from "../../electron/host/door/loopback.ts";
import { openLibrary } from "../../electron/host/library/library.ts";
import { MeasurePool } from "../../electron/host/measure/pool.ts";
import { findChromium } from "../../tools/chromium.ts";
import { freshFolder } from "../electron/library/records.ts";
import { Filling } from "./parts/filledLibrary.ts";

const total = Number(process.argv[2] ?? 100_000);
const folder = freshFolder();
const library = await openLibrary(folder);
const filling = new Filling(library, total);
await filling.start();
await filling.fill(total);

const rendererDir = join(folder, "screens");
await build({ configFile: join(import.meta.dirname, "../../renderer/vite.config.ts"), logLevel: "error", build: { outDir: rendererDir } });
const pool = new MeasurePool({ workers: 1 });
const app = createApp({ pool, library, dataDir: join(folder, "desk"), samplesDir: folder, version: "bench" });
const door = await startLoopbackDoor({ app, rendererDir });
const browser = await chromium.launch({ executablePath: findChromium(), args: process.getuid?.() === 0 ? ["--no-sandbox"] : [] });
const page = await browser.newPage({ viewport: { width: 1366, height: 860 } });
await page.goto(door.url);
await page.evaluate(() => fetch("/api/settings", { method: "PATCH", headers: { "content-type": "application/json" }, body: JSON.stringify({ welcomed: true, language: "en" }) }));
await page.reload();
await page.getByRole("link", { name: "Runs" }).waitFor();

const [cold, warm] = [await opened("runs/5", ".run-head h1", "before anything of runs was loaded"), await opened("runs/6", ".run-head h1", "again, another run")];
await opened("runs/5/charts", ".chart canvas[data-drawn]", `with its chart of ${total / 10} checks drawn`);
console.log(`  of which Chart.js took ${await page.locator(".chart canvas").getAttribute("data-drawn")} ms`);
console.log(`first paint within 1 s: ${cold < 1000 && warm < 1000 ? "yes" : "no"}`);

await frames("moving along the whole chart, zoomed in a little", "ArrowRight", 1);
await frames("the same, zoomed in until its points are told apart", "ArrowRight", 8);
await frames("the ring going from point to point", "ArrowRight", 0, false);
const { user, system } = process.cpuUsage();
console.log(`processor time of this process, filling included: ${((user + system) / 1e6).toFixed(0)} s`);
await browser.close();
await door.close();
await pool.close();
await library.close();

/** Goes to an address and prints how long until `what` is painted. */
async function opened(hash: string, what: string, when: string): Promise<number> {
  const busy = process.cpuUsage();
  const ms = await page.evaluate(async ([to, selector]) => {
    const started = performance.now();
    location.hash = to;
    for (let i = 0; i < 3000; i++) {
      if (document.querySelector(selector)) break;
      await new Promise((resolve) => requestAnimationFrame(resolve));
    }
    await new Promise((resolve) => requestAnimationFrame(() => setTimeout(resolve, 0)));
    return performance.now() - started;
  }, [hash, what] as const);
  const { user, system } = process.cpuUsage(busy);
  console.log(`#${hash} painted, ${when}: ${ms.toFixed(0)} ms (processor time of the host ${((user + system) / 1000).toFixed(0)} ms)`);
  // What the page goes on to ask for is waited for, so that it does not count against the next figure.
  await page.waitForLoadState("networkidle");
  return ms;
}

/** Prints frame times of the chart while a key is pressed once a frame, after so many steps of zooming in. */
async function frames(what: string, key: string, zooms: number, shift = true): Promise<void> {
  const times = await page.evaluate(async ([pressed, steps, shiftKey]) => {
    const press = (of: string, withShift = false) => document.querySelector(".chart-box")?.dispatchEvent(new KeyboardEvent("keydown", { key: of, shiftKey: withShift, bubbles: true }));
    const frame = () => new Promise((resolve) => requestAnimationFrame(resolve));
    press("0");
    for (let i = 0; i < steps; i++) press("+");
    await frame();
    await frame();
    const found: number[] = [];
    let last = performance.now();
    for (let i = 0; i < 60; i++) {
      press(pressed, shiftKey);
      await frame();
      const now = performance.now();
      found.push(now - last);
      last = now;
    }
    return found;
  }, [key, zooms, shift] as const);
  times.sort((a, b) => a - b);
  const at = (share: number): string => times[Math.min(times.length - 1, Math.floor(share * times.length))].toFixed(1);
  console.log(`frames, ${what}: median ${at(0.5)} ms, 95 % within ${at(0.95)} ms, longest ${at(1)} ms`);
}
