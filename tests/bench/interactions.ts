/**
 * How fast the screens answer with 100,000 checks in the library, in a real browser over the real door: for each of the main things that an operator does, the
 * browser's own measure from the input to the frame that answers it, and the time until what was asked for can be seen. Arguments: another number of checks, and a
 * folder with a library that an earlier run filled (made where it is not there), and a pattern of the interactions wanted. Prints the load beside the figures: they are of use on a quiet machine.
 */
import { existsSync } from "node:fs";
import { loadavg } from "node:os";
import { join } from "node:path";
import { chromium, type Page } from "@playwright/test";
import { createApp } from "../../electron/host/app/app.ts";
import { startLoopbackDoor } from "../../electron/host/door/loopback.ts";
import { openLibrary } from "../../electron/host/library/library.ts";
import { MeasurePool } from "../../electron/host/measure/pool.ts";
import { screensUpToDate } from "../../tools/building.ts";
import { findChromium } from "../../tools/chromium.ts";
import { freshFolder } from "../electron/library/records.ts";
import { JOB } from "../screens/fixture/sheets.ts";
import { Filling } from "./parts/filledLibrary.ts";
import { type Interaction, OBSERVE, responses } from "./parts/response.ts";

const GOAL_MS = 100;
const total = Number(process.argv[2] ?? 100_000);
const folder = process.argv[3] ?? freshFolder();
const wanted = new RegExp(process.argv[4] ?? "");
const root = join(import.meta.dirname, "../..");

await screensUpToDate();
const isFilled = existsSync(join(folder, "library.sqlite"));
const library = await openLibrary(folder);
if (!isFilled) {
  const filling = new Filling(library, total);
  await filling.start();
  await filling.fill(total);
}
if ((await library.jobs.list()).length < 300) for (let i = 0; i < 300; i++) await library.jobs.put({ ...JOB, id: `CARD-${i}`, name: `Counter card ${i}` });
const pool = new MeasurePool({ workers: 1 });
const app = createApp({ pool, library, dataDir: freshFolder(), samplesDir: join(root, "samples"), version: "bench" });
const door = await startLoopbackDoor({ app, rendererDir: join(root, "dist/renderer") });
const browser = await chromium.launch({ executablePath: findChromium(), args: process.getuid?.() === 0 ? ["--no-sandbox"] : [] });
const page = await browser.newPage({ viewport: { width: 1366, height: 860 } });
await page.addInitScript(OBSERVE);
await page.goto(door.url);
await page.evaluate(() => fetch("/api/settings", { method: "PATCH", headers: { "content-type": "application/json" }, body: JSON.stringify({ welcomed: true, language: "en" }) }));
await page.reload();
await page.getByRole("button", { name: "Try the sample job" }).click();
await page.locator(".strip-item").first().waitFor();
await page.waitForFunction(() => !/WAITING|MEASURING/.test(document.querySelector(".strip")?.textContent ?? ""), undefined, { timeout: 120_000 });

const press = (name: string | RegExp, role: "button" | "link" | "tab" | "radio" | "option" = "button") => (on: Page) => on.getByRole(role, { name }).first().click({ force: role === "radio" });
const at = (hash: string, ready: string) => async (on: Page) => {
  await on.evaluate((to) => (location.hash = to), hash);
  await on.locator(ready).first().waitFor();
};
const has = (selector: string) => `!!document.querySelector(${JSON.stringify(selector)})`;
const PLACES = [["Check", "section.verdict"], ["Runs", ".run-list .run"], ["Jobs", ".page.jobs li"], ["Cameras", "main h1"], ["Guide", "main h1"], ["Settings", ".settings h1"]] as const;
const TABS = [["Charts", ".chart canvas[data-drawn]"], ["Set aside", ".stack-map"], ["Events", ".tab-panel form"], ["How often to check", ".tab-panel p"], ["All checks", ".tab-panel tbody tr"]] as const;
const chart = async (on: Page) => {
  await at("runs/5/charts", ".chart canvas[data-drawn]")(on);
  await on.evaluate(() => Reflect.set(window, "chartBefore", document.querySelector(".chart-box")?.ariaLabel));
};
/** Another chart than the one that `chart` saw. */
const otherChart = () => `${has(".chart canvas[data-drawn]")} && document.querySelector(".chart-box").ariaLabel !== window.chartBefore`;
const reason = (i: number) => `corner torn ${process.pid}-${i}`;
const aside = at("runs/5/aside", ".stack-map");

const INTERACTIONS: readonly Interaction[] = [
  ...PLACES.map(([name, shown]) => ({
    name: `to the place ${name}`, before: at(name === "Guide" ? "settings" : "guide", "main h1"), act: (on: Page) => on.getByRole("navigation").getByRole("link", { name }).click(), shown: () => has(shown),
  })),
  { name: "another picture on the desk", before: at("check", ".strip-item"), act: (on, i) => on.locator(".strip-item").nth(i % 3 === 0 ? 1 : i % 3 === 1 ? 2 : 0).click(), shown: () => has("canvas[data-ready=true]") },
  { name: "into the picture (key +)", before: async (on) => { await at("check", "canvas[data-ready=true]")(on); await on.locator("canvas").focus(); }, act: (on) => on.keyboard.press("+") },
  { name: "along the picture (arrow)", act: (on) => on.keyboard.press("ArrowRight") },
  { name: "open a run of 10,000", before: at("runs", ".run-list .run"), act: (on, i) => on.locator(".run").nth(i % 10).click(), shown: () => `${has(".run-head h1")} && ${has("[role=tabpanel] h2")}`, times: 6 },
  ...TABS.map(([name, shown]) => ({ name: `a run's tab ${name}`, before: at("runs/5/now", "[role=tabpanel] h2"), act: press(name, "tab"), shown: () => has(shown) })),
  { name: "another kind of chart", before: chart, act: (on, i) => press(i % 2 === 0 ? "Drift (EWMA)" : "Single sheets", "radio")(on), shown: otherChart },
  { name: "another value on the chart", before: async (on) => { await chart(on); await on.locator(".chart-choices select").first().focus(); }, act: (on, i) => on.keyboard.press(i % 2 === 0 ? "ArrowDown" : "ArrowUp"), shown: otherChart },
  { name: "to the next point of the chart", before: async (on) => { await chart(on); await on.locator(".chart-box").focus(); }, act: (on) => on.keyboard.press("ArrowRight") },
  { name: "into the chart (key +)", act: (on) => on.keyboard.press("+"), times: 8 },
  { name: "the chart's figures as a table", before: chart, act: press("Figures of the chart"), times: 6 },
  { name: "next page of a run's sheets", before: at("runs/5/sheets", "tbody tr"), act: press("→"), shown: () => has("tbody tr") },
  { name: "open a recorded sheet", before: at("runs/5/sheets", "tbody tr"), act: (on, i) => on.locator("tbody th a").nth(i).click(), shown: () => has("section.verdict") },
  { name: "the sheet after it", act: press(/Sheet after/), shown: () => has("section.verdict") },
  { name: "set aside: all instead of open", before: aside, act: (on, i) => press(i % 2 === 0 ? "All" : "Still open", "radio")(on) },
  { name: "set aside: typing a reason", before: async (on) => { await aside(on); await on.getByLabel("Why").focus(); }, act: (on) => on.keyboard.press("x") },
  { name: "set aside: deciding", before: async (on, i) => {
    await aside(on);
    for (const [label, text] of [["From sheet", String(i + 1)], ["To sheet", String(i + 1)], ["Who", "Mara"], ["Why", reason(i)]]) await on.getByLabel(label).fill(text);
  }, act: press("Decide"), shown: (i) => `(document.querySelector(".decisions")?.textContent ?? "").includes(${JSON.stringify(reason(i))})` },
  { name: "typing into the search of 300 jobs", before: at("jobs", ".page.jobs li"), act: async (on, i) => { if (i === 0) await on.getByRole("searchbox").focus(); await on.keyboard.press(i % 2 === 0 ? "7" : "Backspace"); } },
  { name: "open a job", before: at("jobs", ".page.jobs li"), act: (on, i) => on.locator(".page.jobs li a").nth(i).click(), shown: () => has(".sheet-canvas canvas") },
  { name: "choose a mark in the editor", act: (on) => on.locator(".sheet-canvas canvas").press("n") },
  { name: "another theme", before: at("settings", ".settings h1"), act: (on, i) => press([/^Dark$/, /^High contrast$/, /^Light$/][i % 3], "radio")(on), shown: (i) => `document.documentElement.dataset.theme === ${JSON.stringify(["dark", "contrast", "light"][i % 3])}` },
  { name: "another text size", before: at("settings", ".settings h1"), act: (on, i) => press(i % 2 === 0 ? /^Large$/ : /^Normal$/, "radio")(on) },
  { name: "another unit", before: at("settings", ".settings h1"), act: (on, i) => press(i % 2 === 0 ? /^Inch/ : /^Mill/, "radio")(on) },
];

console.log(`${total} checks in ten runs, ${INTERACTIONS.length} interactions; load average ${loadavg().map((l) => l.toFixed(1)).join(", ")}; goal: an answer within ${GOAL_MS} ms at the 95th percentile`);
const all: number[] = [];
for (const interaction of INTERACTIONS.filter(({ name }) => wanted.test(name))) {
  const { response, shown } = await responses(page, interaction);
  all.push(...response);
  const line = [`response ${figures(response)}`, ...(shown.length > 0 ? [`shown after ${figures(shown)}`] : [])].join("; ");
  console.log(`${percentile(response, 0.95) > GOAL_MS ? "! " : "  "}${interaction.name.padEnd(36)} ${line}`);
}
console.log(`all ${all.length} inputs: ${figures(all)}; load average ${loadavg().map((l) => l.toFixed(1)).join(", ")}`);
await browser.close();
await door.close();
await pool.close();
await library.close();

function figures(ms: readonly number[]): string {
  return `median ${percentile(ms, 0.5).toFixed(0)}, 95 % ${percentile(ms, 0.95).toFixed(0)}, longest ${percentile(ms, 1).toFixed(0)} ms`;
}

/** The smallest value that this share of all is not above. */
function percentile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.ceil(share * sorted.length) - 1)];
}
