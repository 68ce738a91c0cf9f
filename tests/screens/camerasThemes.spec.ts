import AxeBuilder from "@axe-core/playwright";
import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import type { Page } from "@playwright/test";
import type { Lens } from "../../core/camera/lens.ts";
import { marksOf } from "../../core/camera/target/dots.ts";
import { encodePicture } from "../../electron/cli/verbs/samplePicture.ts";
import { targetFor } from "../../electron/host/calibrate/targetPdf.ts";
import type { Study } from "../../electron/host/app/routes/gaugeRoutes.ts";
import { drawMarks, viewOf } from "../support/targetPicture.ts";
import { expect, test } from "./fixture/desk.ts";

test.describe.configure({ timeout: 600_000 });

const THEMES = ["light", "dark", "contrast"] as const;
const LENS: Lens = { fx: 660, fy: 660, cx: 402, cy: 296, k1: -0.15, k2: 0, p1: 0, p2: 0, k3: 0 };

const FINDINGS = [
  { level: "fault", code: "few-tilts", message: "1 of 6 pictures are tilted by 15 degrees or more, to 1 side: take some from the left, the right, above and below, about 30 degrees off." },
  { level: "weak", code: "corners-not-covered", message: "No picture has the target near the upper left corner: the lens is only guessed there. Take pictures with the target reaching into each corner." },
  { level: "note", code: "few-points", message: "view-3.jpg shows only 8 points of the target and was left out." },
];
const common = { format: "kerfmark.camera/1", date: "2026-11-01", target: "charuco-17x11-15", pictures: 8, points: 1280, rms: 0.051 };
const residuals = { columns: 8, rows: 6, dx: Array.from({ length: 48 }, (_, i) => (i % 7 === 0 ? null : Math.sin(i) / 40)), dy: Array.from({ length: 48 }, (_, i) => (i % 7 === 0 ? null : Math.cos(i) / 40)), count: Array.from({ length: 48 }, (_, i) => (i % 7 === 0 ? 0 : 20)) };
const square = (n: number): number[][] => Array.from({ length: n }, (_, i) => Array.from({ length: n }, (_unused, j) => (i === j ? 1e-6 : 0)));
const PROFILES = [
  { ...common, kind: "camera", name: "Phone of the press room, main lens", exif: { make: "Seed", model: "Pocket 4", lensModel: "main 6.8 mm", focalLength: 6.8 }, picture: { width: 4000, height: 3000 }, residuals, verdict: { grade: "poor", findings: FINDINGS }, lens: LENS, estimated: ["fx", "fy", "cx", "cy", "k1"], covariance: square(9) },
  { ...common, kind: "scanner", name: "Flatbed by the window", exif: {}, picture: { width: 3508, height: 2480 }, residuals, verdict: { grade: "good", findings: [] }, pxPerMm: { x: 11.8113, y: 11.8042 }, squareness: 0.31, bow: { x: 0.42, y: -0.17 }, run: { x: 0.2, y: 0.1 }, covariance: square(7) },
];

/** A study of three sheets with readings that differ a little, its last reading missing where `open`. */
function study(open: boolean): Study {
  const [sheets, operators] = [["1", "2", "3"], ["Ada Lindqvist", "Ben"]];
  const readings: Study["readings"] = {};
  sheets.forEach((_, i) => operators.forEach((_unused, j) => [0, 1].forEach((r) => {
    if (open && i === 2 && j === 1) return;
    const x = 0.1 * i + 0.004 * Math.sin(7 * i + 3 * j + 5 * r);
    readings[`${i}/${j}/${r}`] = { image: `s${i}.jpg`, values: { x, y: x / 2, rotation: x, skew: x, scaleX: x, scaleY: x, position: x } };
  })));
  return { sheets, operators, repeats: 2, value: "x", tolerance: 0.5, readings, references: { 1: 0, 2: 0.1 }, lengths: { a: 0.05, k: 10_000, rows: [{ reference: 300, value: 300.02 }, { reference: 800, value: 800.21 }] } };
}

const send = (page: Page, method: string, path: string, body: unknown) => page.evaluate(([m, p, b]) =>
  fetch(p, { method: m, headers: { "content-type": "application/json" }, body: b }).then((answer) => answer.ok), [method, path, JSON.stringify(body)] as const);

async function settings(page: Page, part: object): Promise<void> {
  await send(page, "PATCH", "/api/settings", part);
  await page.reload();
}

/** The screens of cameras, scanners and the gauge study, filled, by their addresses. */
const SCREENS: readonly { readonly name: string; readonly hash: string; readonly ready: string; readonly before?: (page: Page) => Promise<unknown> }[] = [
  { name: "cameras", hash: "cameras", ready: ".run-list" },
  { name: "camera-profile", hash: "cameras/1", ready: ".residual-map" },
  { name: "scanner-profile", hash: "cameras/2", ready: ".residual-map" },
  { name: "camera-new", hash: "cameras/new/camera", ready: ".target-drop" },
  { name: "scanner-new", hash: "cameras/new/scanner", ready: ".target-drop" },
  { name: "gauge-plan", hash: "cameras/gauge", ready: ".gauge form", before: (page) => send(page, "PUT", "/api/gauge", { ...study(true), sheets: [], operators: [], readings: {}, references: {} }) },
  { name: "gauge-readings", hash: "cameras/gauge", ready: ".gauge-next", before: (page) => send(page, "PUT", "/api/gauge", study(true)) },
  { name: "gauge-result", hash: "cameras/gauge", ready: ".gauge-verdict", before: (page) => send(page, "PUT", "/api/gauge", study(false)) },
];

async function visit(page: Page, { hash, ready, before }: (typeof SCREENS)[number]): Promise<void> {
  await page.evaluate(() => (location.hash = "guide"));
  await before?.(page);
  await page.evaluate((to) => (location.hash = to), hash);
  await expect(page.locator(ready).first()).toBeVisible();
}

/** Pictures of all that was looked at, whole, into a folder named by KERFMARK_LOOK; for whoever changes these screens. */
async function look(page: Page, name: string): Promise<void> {
  if (!process.env.KERFMARK_LOOK) return;
  const size = page.viewportSize() ?? { width: 1366, height: 900 };
  const tall = await page.locator("main").evaluate((main) => main.scrollHeight);
  await page.setViewportSize({ ...size, height: tall + 100 });
  await page.screenshot({ path: join(process.env.KERFMARK_LOOK, `${name}.png`) });
  await page.setViewportSize(size);
}

/** What sticks out of the place to the right although nothing round it scrolls. */
function spilling(page: Page): Promise<string[]> {
  return page.locator("main").evaluate((main) => {
    if (main.scrollWidth <= main.clientWidth + 1) return [];
    const edge = main.getBoundingClientRect().right;
    const scrolls = (one: Element): boolean => one !== main && (/auto|scroll|hidden/.test(getComputedStyle(one).overflowX) || (one.parentElement !== null && scrolls(one.parentElement)));
    return [...main.querySelectorAll("*")].filter((one) => !scrolls(one) && one.getBoundingClientRect().right > edge + 1).map((one) => `${one.tagName} ${one.getAttribute("class")}`);
  });
}

test("cameras, scanners and the gauge study are accessible in every theme and both languages, and lose nothing with double text", async ({ page, open, dataDir, log }) => {
  await page.setViewportSize({ width: 1366, height: 900 });
  // Colours on their way from one theme to the next have no contrast to be held to.
  await page.emulateMedia({ reducedMotion: "reduce" });
  await open();
  for (const profile of PROFILES) expect(await send(page, "POST", "/api/cameras", { profile })).toBe(true);
  const pictures = await Promise.all(([[0, 0], [0.4, 0.2]] as const).map(async (tilt, i) => {
    const file = join(dataDir, `view-${i}.png`);
    await writeFile(file, await encodePicture(drawMarks(marksOf(targetFor("a4", "dots")), viewOf(LENS, { x: 120, y: 67.5 }, tilt, 0.3 * i, 215), 800, 600, { seed: i + 1 }), { format: "png" }));
    return file;
  }));
  for (const language of ["en", "de"]) {
    await settings(page, { language, theme: "light", textSize: "normal" });
    for (const screen of SCREENS) {
      await visit(page, screen);
      if (screen.name === "camera-new") await page.locator("input[type=file]").setInputFiles(pictures).then(() => expect(page.locator(".target-read")).toHaveCount(2, { timeout: 120_000 }));
      for (const theme of THEMES) {
        await page.evaluate((name) => (document.documentElement.dataset["theme"] = name), theme);
        const { violations } = await new AxeBuilder({ page }).withTags(["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]).analyze();
        expect(violations.map(({ id, nodes }) => `${screen.name}, ${theme}, ${language}: ${id} ${nodes.map((node) => node.html).join(" | ")}`)).toEqual([]);
        await look(page, `${screen.name}-${language}-${theme}`);
      }
      await page.evaluate(() => (document.documentElement.dataset["theme"] = "light"));
      await page.evaluate(() => (document.documentElement.dataset["text"] = "largest"));
      for (const width of [1366, 700, 390]) {
        await page.setViewportSize({ width, height: 900 });
        expect(await spilling(page), `${screen.name}, ${language}, ${width} px`).toEqual([]);
        await look(page, `${screen.name}-${language}-double-${width}`);
      }
      await page.evaluate(() => (document.documentElement.dataset["text"] = "normal"));
      await page.setViewportSize({ width: 1366, height: 900 });
    }
  }
  expect(log).toEqual([]);
});
