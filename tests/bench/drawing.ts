// A DXF drawing of 200,000 lines on the import screen, in a real browser: time until it is shown, the memory of the page's process (with its worker), then frame times while
// it is zoomed and moved about, with the processor time of the page's main thread beside them (a browser without a graphics card fills lines in there, too). Run: node tests/bench/drawing.ts [LINES]
import { readFileSync } from "node:fs";
import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { chromium, type Page } from "@playwright/test";
import { build } from "vite";
import { randomOf } from "../../core/sample/random.ts";
import { createApp } from "../../electron/host/app/app.ts";
import { startLoopbackDoor } from "../../electron/host/door/loopback.ts";
import { openLibrary } from "../../electron/host/library/library.ts";
import { MeasurePool } from "../../electron/host/measure/pool.ts";
import { findChromium } from "../../tools/chromium.ts";

const lines = Number(process.argv[2] ?? 200_000);
const folder = await mkdtemp(join(tmpdir(), "kerfmark-drawing-"));
const screens = join(folder, "screens");
await build({ configFile: fileURLToPath(new URL("../../renderer/vite.config.ts", import.meta.url)), logLevel: "error", build: { outDir: screens, emptyOutDir: true } });
await writeFile(join(folder, "lines.dxf"), dxf(lines));
const library = await openLibrary(join(folder, "library"));
const pool = new MeasurePool({ workers: 1 });
const door = await startLoopbackDoor({ app: createApp({ pool, library, dataDir: folder, samplesDir: folder, version: "bench" }), rendererDir: screens });
const browser = await chromium.launch({ executablePath: findChromium(), args: process.getuid?.() === 0 ? ["--no-sandbox"] : [] });
try {
  const page = await browser.newPage({ viewport: { width: 1600, height: 1000 } });
  await page.goto(`${door.url}`);
  await page.evaluate(() => { location.hash = "jobs/import"; });
  console.log(`before: ${await memory()}`);
  const chooser = page.waitForEvent("filechooser");
  await page.getByRole("button", { name: "Choose a drawing" }).click();
  const start = performance.now();
  await (await chooser).setFiles(join(folder, "lines.dxf"));
  await page.waitForSelector("canvas[data-sharp=true]", { timeout: 120_000 });
  console.log(`${lines} lines chosen, read and shown after ${((performance.now() - start) / 1000).toFixed(2)} s`);
  await page.waitForSelector(".import-sum", { timeout: 120_000 });
  console.log(`put together as a job after ${((performance.now() - start) / 1000).toFixed(2)} s`);
  console.log(`then: ${await memory()}`);
  console.log(`idle: ${await frames(page, async () => void (await page.waitForTimeout(1500)))}`);
  const box = await page.locator(".sheet-canvas canvas").boundingBox();
  if (!box) throw new Error("There is no canvas.");
  await page.mouse.move(box.x + box.width / 3, box.y + box.height / 3);
  console.log(`zooming in and out by the wheel: ${await frames(page, async () => {
    for (let i = 0; i < 60; i++) {
      await page.mouse.wheel(0, i < 30 ? -120 : 120);
      await page.waitForTimeout(25);
    }
  })}`);
  console.log(`moving the whole drawing: ${await frames(page, async () => {
    await page.mouse.down();
    for (let i = 0; i < 80; i++) {
      await page.mouse.move(box.x + box.width / 3 + 200 * Math.sin(i / 8), box.y + box.height / 3 + 100 * Math.cos(i / 8));
      await page.waitForTimeout(16);
    }
    await page.mouse.up();
  })}`);
  const sharp = performance.now();
  await page.locator(".sheet-canvas canvas").focus();
  await page.keyboard.press("0");
  await page.waitForSelector("canvas[data-sharp=true]");
  console.log(`in the end: ${await memory()}`);
  console.log(`sharp again ${(performance.now() - sharp).toFixed(0)} ms after the last move`);
} finally {
  await browser.close();
  await door.close();
  await pool.close();
  await library.close();
  await rm(folder, { recursive: true, force: true });
}

/** Resident memory of the largest of the browser's page processes, as Linux counts it: now, and at the most so far. */
async function memory(): Promise<string> {
  const session = await browser.newBrowserCDPSession();
  const { processInfo } = await session.send("SystemInfo.getProcessInfo");
  await session.detach();
  const sizes = processInfo.filter((p) => p.type === "renderer").map(({ id }) => {
    const status = readFileSync(`/proc/${id}/status`, "utf8");
    const mb = (name: string): number => Number(new RegExp(`${name}:\\s+(\\d+) kB`).exec(status)?.[1] ?? NaN) / 1024;
    return { now: mb("VmRSS"), most: mb("VmHWM") };
  });
  const page = sizes.reduce((a, b) => (b.most > a.most ? b : a));
  return `the page's process has ${page.now.toFixed(0)} MB, ${page.most.toFixed(0)} MB at the most`;
}

/** Times between frames while something is done, and how long the page's own work in them took. */
async function frames(page: Page, work: () => Promise<void>): Promise<string> {
  await page.evaluate(() => {
    const seen: number[] = [];
    const run = { on: true, seen };
    Object.assign(globalThis, { frameRun: run });
    const next = (at: number) => {
      seen.push(at);
      if (run.on) requestAnimationFrame(next);
    };
    requestAnimationFrame(next);
  });
  const metrics = await page.context().newCDPSession(page);
  await metrics.send("Performance.enable", { timeDomain: "threadTicks" });
  const busy = async () => (await metrics.send("Performance.getMetrics")).metrics.find((m) => m.name === "TaskDuration")?.value ?? 0;
  const before = await busy();
  await work();
  const cpu = 1000 * ((await busy()) - before);
  await metrics.detach();
  const at = await page.evaluate(() => {
    const { frameRun } = globalThis as unknown as { frameRun: { on: boolean; seen: number[] } };
    frameRun.on = false;
    return frameRun.seen;
  });
  const times = at.slice(1).map((t, i) => t - at[i]).sort((a, b) => a - b);
  const q = (p: number) => times[Math.min(times.length - 1, Math.floor(p * times.length))].toFixed(0);
  return `${times.length} frames, median ${q(0.5)} ms, 95 % within ${q(0.95)} ms, longest ${q(1)} ms; main thread ${(cpu / times.length).toFixed(1)} ms of processor time a frame`;
}

function dxf(n: number): string {
  const random = randomOf(1);
  const out = ["0", "SECTION", "2", "HEADER", "9", "$INSUNITS", "70", "4", "0", "ENDSEC", "0", "SECTION", "2", "ENTITIES"];
  for (let i = 0; i < n; i++) {
    const [x, y, turn, length] = [10 + 980 * random.next(), 10 + 680 * random.next(), 2 * Math.PI * random.next(), 1 + 6 * random.next()];
    const [x1, y1] = [x + length * Math.cos(turn), y + length * Math.sin(turn)];
    out.push("0", "LINE", "8", i % 3 ? "CUT" : "CREASE", "10", x.toFixed(3), "20", y.toFixed(3), "11", x1.toFixed(3), "21", y1.toFixed(3));
  }
  return [...out, "0", "ENDSEC", "0", "EOF"].join("\n");
}
