/**
 * The desk in a real browser: the size of the first load, the time from the address to a usable window (loopback, warm), frame times while a 69 MP scan
 * (A3 at 600 dpi) is moved and zoomed, and what an idle window costs. The scan is a drawn sheet enlarged, measured as every other, overlay and all.
 */
import { spawn } from "node:child_process";
import { once } from "node:events";
import { mkdtemp, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { gzipSync } from "node:zlib";
import { type CDPSession, chromium, type Page } from "@playwright/test";
import sharp from "sharp";
import { createApp } from "../../electron/host/app/app.ts";
import { startLoopbackDoor } from "../../electron/host/door/loopback.ts";
import { openLibrary } from "../../electron/host/library/library.ts";
import { MeasurePool } from "../../electron/host/measure/pool.ts";
import { screensUpToDate } from "../../tools/building.ts";
import { findChromium } from "../../tools/chromium.ts";
import { JOB, writeSheet } from "../screens/fixture/sheets.ts";

const IDLE_S = 5;
const SCAN = { width: 9933, height: 7016 };

await screensUpToDate();
const rendererDir = join(import.meta.dirname, "../../dist/renderer");
const folder = await mkdtemp(join(tmpdir(), "kerfmark-desk-"));
const library = await openLibrary(join(folder, "library"));
const pool = new MeasurePool({ workers: 1 });
const app = createApp({ pool, library, dataDir: folder, samplesDir: folder, version: "bench" });
const door = await startLoopbackDoor({ app, rendererDir });
const browser = await chromium.launch({ executablePath: findChromium(), args: process.getuid?.() === 0 ? ["--no-sandbox"] : [] });
const page = await browser.newPage({ viewport: { width: 1366, height: 860 } });
const session = await page.context().newCDPSession(page);
await session.send("Performance.enable", { timeDomain: "threadTicks" });

await firstLoad();
await startTimes(page, session);
await programStart();
await frames(page, session);
await idle(session);

await browser.close();
await door.close();
await pool.close();
await library.close();
await rm(folder, { recursive: true });

/** Everything that is fetched before the first screen can be used: page, scripts, styles and the words of one language. */
async function firstLoad(): Promise<void> {
  const names = new Set(["index.html"]);
  page.on("request", (request) => {
    const { pathname } = new URL(request.url());
    if (/\.(js|css|svg)$/.test(pathname)) names.add(pathname.slice(1));
  });
  await page.goto(door.url);
  await page.locator(".start-card .main-button").waitFor();
  page.removeAllListeners("request");
  const sizes = await Promise.all([...names].map(async (name) => gzipSync(await readFile(join(rendererDir, name))).length));
  console.log(`first load: ${(sizes.reduce((sum, one) => sum + one, 0) / 1000).toFixed(0)} kB gzip in ${names.size} files (goal: at most 400 kB)`);
}

async function startTimes(on: Page, cdp: CDPSession): Promise<void> {
  const times: number[] = [];
  const busy: number[] = [];
  for (let i = 0; i < 7; i++) {
    const started = performance.now();
    await on.reload({ waitUntil: "commit" });
    await on.locator(".start-card .main-button").waitFor();
    times.push(performance.now() - started);
    // A new page counts from nothing.
    busy.push(await taskTime(cdp));
  }
  console.log(`address to usable window, warm: ${spread(times)} ms (goal: at most 1000), of which the page's own thread worked ${spread(busy)} ms`);
}

/** From the command to a usable window: the program of its own, with a library of its own, started anew each time; the browser is there already. */
async function programStart(): Promise<void> {
  const times: number[] = [];
  for (let i = 0; i < 5; i++) {
    const started = performance.now();
    const program = spawn(process.execPath, [join(import.meta.dirname, "../../electron/cli/kerfmark.ts"), "desk", "--no-browser", "--library", join(folder, "started")], { stdio: ["ignore", "pipe", "inherit"] });
    const address = await new Promise<string>((resolve) => {
      let text = "";
      program.stdout.on("data", (chunk: Buffer) => {
        text += chunk.toString();
        const found = /https?:\S+/.exec(text);
        if (found) resolve(found[0]);
      });
    });
    const window = await browser.newPage();
    await window.goto(address);
    await window.locator(".start-card .main-button").waitFor();
    times.push(performance.now() - started);
    await window.close();
    const ended = once(program, "exit");
    program.kill("SIGTERM");
    await ended;
  }
  console.log(`command to usable window, the first time ${times[0].toFixed(0)} ms, then ${spread(times.slice(1))} ms`);
}

async function frames(on: Page, cdp: CDPSession): Promise<void> {
  const small = await writeSheet(folder, "sheet.jpg", { seed: 1, offset: { x: 0.1, y: 0 } });
  const scan = await sharp(await readFile(small)).resize({ ...SCAN, fit: "fill", kernel: "cubic" }).jpeg({ quality: 88 }).toBuffer();
  await app.request("/api/desk/job", { method: "POST", body: JSON.stringify(JOB) });
  await app.request("/api/pictures?name=scan.jpg", { method: "POST", body: new Uint8Array(scan) });
  await on.reload();
  await on.locator("section.verdict:not([data-standing=measuring], [data-standing=waiting])").waitFor({ timeout: 300_000 });
  await on.locator("canvas[data-ready=true]").waitFor({ timeout: 120_000 });
  const cutting = performance.now();
  await on.evaluate(async () => {
    const { pictures } = (await (await fetch("/api/desk")).json()) as { pictures: { id: string }[] };
    await fetch(`/api/pictures/${pictures[0].id}/tiles/0/0/0`);
  });
  console.log(`its tiles were there ${((performance.now() - cutting) / 1000).toFixed(1)} s after the picture was seen`);
  console.log(`a scan of ${((SCAN.width * SCAN.height) / 1e6).toFixed(1)} MP, ${await on.locator("section.verdict").getAttribute("data-standing")}`);
  const before = await taskTime(cdp);
  const moving = await on.evaluate(move);
  const worked = (await taskTime(cdp)) - before;
  const lasting = [...moving].sort((a, b) => a - b);
  const at = (share: number) => lasting[Math.min(lasting.length - 1, Math.floor(share * lasting.length))];
  const all = moving.reduce((sum, one) => sum + one, 0);
  console.log(`moved and zoomed through all sizes: ${((1000 * moving.length) / all).toFixed(0)} frames a second (goal: at least 30); ` +
    `median ${at(0.5).toFixed(1)} ms, 95 % within ${at(0.95).toFixed(1)} ms, longest ${at(1).toFixed(1)} ms; the page's own thread worked ${(worked / moving.length).toFixed(1)} ms a frame`);
}

/** Runs in the page: zooms in with the wheel in steps, drags about, zooms out; the time of every frame, ms. */
async function move(): Promise<number[]> {
  const canvas = document.querySelector("canvas.picture-canvas") as HTMLCanvasElement;
  const box = canvas.getBoundingClientRect();
  const middle = { clientX: box.x + box.width / 2, clientY: box.y + box.height / 2, bubbles: true, cancelable: true };
  const wheel = (deltaY: number) => canvas.dispatchEvent(new WheelEvent("wheel", { ...middle, deltaY }));
  const pan = (key: string) => canvas.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true }));
  const times: number[] = [];
  let last = performance.now();
  for (let i = 0; i < 240; i++) {
    if (i < 60) wheel(-60);
    else if (i < 180) pan(["ArrowRight", "ArrowDown", "ArrowLeft", "ArrowUp"][Math.floor(i / 15) % 4]);
    else wheel(60);
    await new Promise((resolve) => requestAnimationFrame(resolve));
    const now = performance.now();
    times.push(now - last);
    last = now;
  }
  return times;
}

async function idle(cdp: CDPSession): Promise<void> {
  await new Promise((resolve) => setTimeout(resolve, 3000));
  const host = process.cpuUsage();
  const before = await taskTime(cdp);
  await new Promise((resolve) => setTimeout(resolve, IDLE_S * 1000));
  const { user, system } = process.cpuUsage(host);
  const share = (ms: number) => `${((100 * ms) / (IDLE_S * 1000)).toFixed(2)} %`;
  console.log(`idle: the page's thread ${share((await taskTime(cdp)) - before)} of a core, the program ${share((user + system) / 1000)} (goal: 0)`);
}

/** Processor time of the page's main thread so far, ms. */
async function taskTime(cdp: CDPSession): Promise<number> {
  const { metrics } = await cdp.send("Performance.getMetrics");
  return 1000 * (metrics.find(({ name }) => name === "TaskDuration")?.value ?? 0);
}

function spread(values: readonly number[]): string {
  const sorted = [...values].sort((a, b) => a - b);
  return `${sorted[Math.floor(sorted.length / 2)].toFixed(0)} (${sorted[0].toFixed(0)} to ${sorted[sorted.length - 1].toFixed(0)})`;
}
