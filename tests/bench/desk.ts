/**
 * The desk in a real browser: the size of the first load, the time from the address to a usable window (loopback, warm), frame times while a 69 MP scan
 * (A3 at 600 dpi) is moved and zoomed, and what an idle window costs. The scan is a drawn sheet enlarged, measured as every other, overlay and all. Argument: a pattern of what else is wanted, of window, start, frames, idle.
 */
import { mkdtemp, readFile, rm } from "node:fs/promises";
import { loadavg, tmpdir } from "node:os";
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
import { startProgram, withChildren, workedOf } from "./parts/startedProgram.ts";

const IDLE_S = 60;
/** What was begun before is over by then: tiles, the measuring threads, which are let go after a minute, and what is swept up after them. */
const SETTLING_S = 105;
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

const wanted = new RegExp(process.argv[2] ?? "");
await firstLoad();
if (wanted.test("window")) await startTimes(page, session);
if (wanted.test("start")) await programStart();
if (wanted.test("frames")) await frames(page, session);
if (wanted.test("idle")) await idle();

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
  const root = join(import.meta.dirname, "../..");
  // As a shop's own browser: what it knows of the program stays from one start to the next.
  const profile = await browser.newContext();
  for (const [what, command] of [["npm start", ["npm", "start", "--silent", "--", "--browser", "--no-browser"]], ["kerfmark desk", [process.execPath, "tools/kerfmark.mjs", "desk", "--no-browser"]]] as const) {
    const [times, printed, worked]: number[][] = [[], [], []];
    for (let i = 0; i < 6; i++) {
      const began = performance.now();
      const program = await startProgram(command, root, join(folder, "started"));
      const window = await profile.newPage();
      await window.goto(program.address);
      await window.locator(".start-card .main-button").waitFor();
      times.push(performance.now() - began);
      printed.push(program.ms);
      worked.push(program.worked);
      await window.close();
      await program.stop();
    }
    console.log(`${what} to usable window: the first time ${times[0].toFixed(0)} ms, then ${spread(times.slice(1))} ms, of which to the address ${spread(printed.slice(1))} ms ` +
      `(${spread(worked.slice(1))} ms of processor); load average ${loadavg()[0].toFixed(1)}`);
  }
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

/** What an open window with a measured sample costs while nobody touches it: the program and the page's process, all their threads. */
async function idle(): Promise<void> {
  const program = await startProgram([process.execPath, "tools/kerfmark.mjs", "desk", "--no-browser", "--sample"], join(import.meta.dirname, "../.."), join(folder, "idle"));
  const window = await browser.newPage();
  await window.goto(program.address);
  await window.waitForFunction(() => document.querySelectorAll(".strip-item").length > 0 && !/WAITING|MEASURING/.test(document.querySelector(".strip")?.textContent ?? ""), undefined, { timeout: 120_000 });
  await new Promise((resolve) => setTimeout(resolve, SETTLING_S * 1000));
  const cdp = await browser.newBrowserCDPSession();
  const { processInfo } = await cdp.send("SystemInfo.getProcessInfo");
  const pages = processInfo.filter(({ type }) => type === "renderer").map(({ id }) => id);
  const before = [workedOf(withChildren(program.pid)), workedOf(pages)];
  await new Promise((resolve) => setTimeout(resolve, IDLE_S * 1000));
  const share = (ms: number) => `${((100 * ms) / (IDLE_S * 1000)).toFixed(2)} %`;
  console.log(`idle for ${IDLE_S} s: the program ${share(workedOf(withChildren(program.pid)) - before[0])} of a core, the pages' processes ${share(workedOf(pages) - before[1])} (goal: 0)`);
  await window.close();
  await program.stop();
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
