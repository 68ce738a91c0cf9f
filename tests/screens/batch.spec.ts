import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import sharp from "sharp";
import { chooseFile, expect, test } from "./fixture/desk.ts";
import { drop } from "./fixture/drop.ts";
import { JOB } from "./fixture/sheets.ts";
import { shoot } from "./fixture/shoot.ts";

const ALL = 50;

test("fifty pictures dropped at once, stopped in the middle and gone on with, are each measured once", async ({ page, open, pictures, library, dataDir, log }) => {
  // Small enough to be quick, large enough to be measured: about 4 px per mm. A note behind the picture's end makes each file another one.
  const { width = 0 } = await sharp(pictures.good).metadata();
  const small = await sharp(await readFile(pictures.good)).resize({ width: Math.round(width / 2) }).jpeg({ quality: 90 }).toBuffer();
  const files = await Promise.all(Array.from({ length: ALL }, async (_, i) => {
    const file = join(dataDir, `sheet-${i + 1}.jpg`);
    await writeFile(file, Buffer.concat([small, Buffer.from(`note ${i}`)]));
    return file;
  }));
  await open();
  await chooseFile(page, "Open a job", pictures.job);
  await drop(page, files);

  const progress = page.getByRole("progressbar");
  await expect(progress).toHaveAttribute("aria-valuemax", String(ALL));
  await expect.poll(async () => Number(await progress.getAttribute("aria-valuenow"))).toBeGreaterThanOrEqual(5);
  await page.getByRole("button", { name: "Stop", exact: true }).click();
  await expect(page.getByText(/Stopped\. \d+ pictures are waiting\./)).toBeVisible();
  await expect(page.getByRole("option", { name: /WAITING/ }).first()).toBeAttached();
  await shoot(page, "batch-stopped");
  const [run] = await library.runs.list();
  // What was being measured may still come in; then nothing more does.
  await expect.poll(async () => page.getByRole("option", { name: /MEASURING/ }).count()).toBe(0);
  const before = await library.checks.count(run.id);
  expect(before).toBeLessThan(ALL);

  await page.getByRole("button", { name: "Go on" }).click();
  await expect(progress).toBeVisible();
  await expect(progress).toBeHidden({ timeout: 120_000 });
  expect(await library.checks.count(run.id)).toBe(ALL);
  await expect(page.getByRole("option", { name: /GOOD/ })).toHaveCount(ALL);

  // Taking one off can be undone.
  await page.getByRole("button", { name: "Take off" }).click();
  await expect(page.getByRole("option")).toHaveCount(ALL - 1);
  await page.getByRole("button", { name: "Undo" }).click();
  await expect(page.getByRole("option")).toHaveCount(ALL);
  expect(log).toEqual([]);
});

test("pictures that are dropped lie safe on the desk before they are measured; leaving while one is on its way is asked about", async ({ page, open, pictures, dataDir, log }) => {
  // So many that they are not all measured before a hand is at the button.
  const count = 30;
  const files = await Promise.all(Array.from({ length: count }, async (_, i) => {
    const file = join(dataDir, `safe-${i + 1}.jpg`);
    await writeFile(file, Buffer.concat([await readFile(pictures.good), Buffer.from(`note ${i}`)]));
    return file;
  }));
  let letGo = () => {};
  const held = new Promise<void>((resolve) => (letGo = resolve));
  await page.route(/name=safe-30/, async (route) => {
    await held;
    await route.continue();
  });
  const asked: string[] = [];
  page.on("dialog", (dialog) => {
    asked.push(dialog.type());
    void dialog.dismiss();
  });
  await open();
  await chooseFile(page, "Open a job", pictures.job);
  await drop(page, files);
  await page.getByRole("button", { name: "Stop", exact: true }).click();
  await page.close({ runBeforeUnload: true });
  await expect.poll(() => asked).toEqual(["beforeunload"]);

  letGo();
  await expect.poll(() => page.evaluate(async () => ((await (await fetch("/api/desk")).json()) as { pictures: unknown[] }).pictures.length), { timeout: 20_000 }).toBe(count);
  await page.reload();
  await expect(page.getByRole("option")).toHaveCount(count);
  expect(asked).toHaveLength(1);
  expect(log).toEqual([]);
});

test("pictures dropped while a job is being opened wait for it; dropped where nothing takes them, they leave the page as it is", async ({ page, open, pictures, log }) => {
  let letGo = () => {};
  const held = new Promise<void>((resolve) => (letGo = resolve));
  await page.route("**/api/desk/job", async (route) => {
    await held;
    await route.continue();
  });
  await open();
  await chooseFile(page, "Open a job", pictures.job);
  await drop(page, [pictures.good]);
  await expect(page.getByRole("button", { name: "Open a job" })).toBeVisible();
  await expect(page.getByText("No job is open")).toBeHidden();
  letGo();
  await expect(page.getByRole("option", { name: /GOOD/ })).toHaveCount(1, { timeout: 60_000 });

  await page.getByRole("link", { name: "Runs", exact: true }).click();
  await expect(page.getByRole("heading", { name: "Runs", level: 1 })).toBeVisible();
  await drop(page, [pictures.bad]);
  await page.getByRole("link", { name: "Check", exact: true }).click();
  await expect(page.getByRole("option")).toHaveCount(1);
  expect(log).toEqual([]);
});

test("opening another job with pictures waiting is said, and can be undone", async ({ page, open, pictures, dataDir, log }) => {
  const files = await Promise.all(Array.from({ length: 6 }, async (_, i) => {
    const file = join(dataDir, `left-${i + 1}.jpg`);
    await writeFile(file, Buffer.concat([await readFile(pictures.good), Buffer.from(`note ${i}`)]));
    return file;
  }));
  // Two are measured, however quick the machine is; the others are still asked for when another job comes.
  let asked = 0;
  await page.route("**/api/pictures/*/check", (route) => (++asked <= 2 ? route.continue() : undefined));
  await open();
  await chooseFile(page, "Open a job", pictures.job);
  await expect(page.getByRole("heading", { name: "Put in a picture of a finished sheet" })).toBeVisible();
  await drop(page, files);
  await expect(page.getByRole("option")).toHaveCount(6);
  await expect(page.getByRole("option", { name: /GOOD/ })).toHaveCount(2, { timeout: 60_000 });
  await page.getByRole("button", { name: "Stop", exact: true }).click();
  await expect.poll(() => page.getByRole("option", { name: /MEASURING/ }).count()).toBe(0);
  await page.unrouteAll({ behavior: "ignoreErrors" });
  await chooseFile(page, "Open a job", { name: "other.job.json", mimeType: "application/json", buffer: Buffer.from(JSON.stringify({ ...JOB, id: "CARD-8", name: "Another card" })) });
  await expect(page.getByText("Seed counter card was closed with 4 pictures not measured.")).toBeVisible();
  await expect(page.getByText("Another card")).toBeVisible();
  await expect(page.getByRole("option")).toHaveCount(0);
  await page.getByRole("button", { name: "Undo" }).click();
  await expect(page.getByRole("option", { name: /GOOD/ })).toHaveCount(6, { timeout: 120_000 });
  expect(log).toEqual([]);
});
