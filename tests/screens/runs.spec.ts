import { copyFile, mkdir, readFile } from "node:fs/promises";
import { basename, join } from "node:path";
import type { Page } from "@playwright/test";
import { loadDemo } from "../../electron/host/runs/demo/loadDemo.ts";
import { expect, test } from "./fixture/desk.ts";

const SAMPLES = join(import.meta.dirname, "../../samples");

test.describe.configure({ timeout: 600_000 });

/** The demo's drifting run, opened at one of its tabs. */
async function openNight(page: Page, open: () => Promise<void>, tab: string): Promise<void> {
  await open();
  await page.getByRole("link", { name: "Runs" }).click();
  await page.getByRole("link", { name: /Night run, drifting/ }).click();
  await page.getByRole("tab", { name: tab }).click();
}

test("advice, the correction as an event, and the event on the chart", async ({ page, open, library, log }) => {
  await loadDemo(library, SAMPLES);
  await openNight(page, open, "What to do");
  await expect(page.getByRole("heading", { name: "CORRECT NOW" })).toBeVisible();
  await expect(page.getByText(/Move the cut 0\.4\d mm to the right as seen at the cutter \(X \+0\.4\d\)/)).toBeVisible();
  await expect(page.getByText(/beside what was entered there \(blade or tool changed\)/).first()).toBeVisible();
  // The shop's own words for its table.
  await page.getByRole("button", { name: "Words for the cutter's directions" }).click();
  await page.getByLabel("+X").fill("towards the window");
  await page.getByRole("button", { name: "Save", exact: true }).click();
  await expect(page.getByText(/Move the cut 0\.4\d mm towards the window/)).toBeVisible();

  await page.getByRole("button", { name: "I have entered this correction" }).click();
  await expect(page.getByLabel(/^X \(mm\)/)).toHaveValue(/^\+0\.4\d\d$/);
  await page.getByLabel("Before sheet").fill("691");
  await page.getByRole("button", { name: "Enter", exact: true }).click();
  const row = page.getByRole("row", { name: /691 correction entered: X \+0\.4/ });
  await expect(row).toBeVisible();
  // Deleting has a way back.
  await row.getByRole("button", { name: "Delete" }).click();
  await expect(row).toBeHidden();
  await page.getByRole("button", { name: "Undo" }).click();
  await expect(row).toBeVisible();
  expect(log).toEqual([]);
});

test("charts by keyboard: to a point, its sheet, and back to it; PNG and CSV", async ({ page, open, library, log }) => {
  await loadDemo(library, SAMPLES);
  await openNight(page, open, "Charts");
  const chart = page.getByRole("slider", { name: /^Single sheets, Offset, right/ });
  await chart.focus();
  await page.keyboard.press("End");
  await expect(page.getByText(/^sheet 690 · \+0\.4\d\d ± 0\.020 mm · BAD/)).toBeVisible();
  await page.keyboard.press("ArrowLeft");
  await expect(page.getByText(/^sheet 684 ·/)).toBeVisible();
  await page.keyboard.press("+");
  await page.keyboard.press("Enter");
  await expect(page.getByRole("region", { name: "Verdict" })).toHaveAttribute("data-standing", "out");
  await expect(page.getByText("Sheet 684")).toBeVisible();
  await expect(page.locator("canvas[data-ready=true]")).toBeVisible();
  await page.getByRole("button", { name: /Sheet after/ }).click();
  await expect(page.getByText("Sheet 690")).toBeVisible();
  await page.getByRole("link", { name: /Back to the run/ }).click();
  await expect(page.getByText(/^sheet 690 ·/)).toBeVisible();

  for (const kind of ["Drift (EWMA)", "Sheet to sheet", "CUSUM", "Offset, both ways (T²)", "Blade metres"]) {
    await page.getByRole("radio", { name: kind }).click({ force: true });
    await expect(page.getByRole("slider", { name: kind })).toBeVisible();
  }
  const saved = page.waitForEvent("download");
  await page.getByRole("button", { name: "Save as CSV" }).click();
  const csv = (await readFile(await (await saved).path(), "utf8")).replace("\ufeff", "").split("\r\n");
  expect(csv[0]).toMatch(/^row,sheet,taken_at,verdict,offsetX_mm,U,moving_range,ewma/);
  expect(csv).toHaveLength(1 + 315 + 1);
  const picture = page.waitForEvent("download");
  await page.getByRole("button", { name: "Save as PNG" }).click();
  expect((await readFile(await (await picture).path())).subarray(1, 4).toString()).toBe("PNG");
  expect(log).toEqual([]);
});

test("set aside: a range decided and taken back, a sheet by eye, the list to print; a re-cut sheet's history", async ({ page, open, library, log }) => {
  await loadDemo(library, SAMPLES);
  await openNight(page, open, "Set aside");
  await expect(page.getByText(/About \d+ bad sheets are to be expected among \d+ suspects/)).toBeVisible();
  const count = page.getByText(/(\d+) still to be decided/);
  const before = Number(/(\d+) still/.exec((await count.textContent()) ?? "")?.[1]);
  await page.getByRole("button", { name: "Decide about sheets 600 to 605" }).click();
  await page.locator("select[name=decision]").selectOption("scrap");
  await page.getByLabel("Who").fill("Mara");
  await page.getByLabel("Why").fill("between two bad ones");
  await page.getByRole("button", { name: "Decide", exact: true }).click();
  await expect(page.getByText(`${before - 6} still to be decided`)).toBeVisible();
  const decision = page.getByRole("listitem").filter({ hasText: "sheets 600 to 605: scrap" });
  await decision.getByRole("button", { name: "Take back" }).click();
  await expect(page.getByText(`${before} still to be decided`)).toBeVisible();
  await page.getByRole("button", { name: "Undo" }).click();
  await expect(page.getByText(`${before - 6} still to be decided`)).toBeVisible();

  await page.getByLabel("From sheet").fill("12");
  await page.getByLabel("To sheet").fill("12");
  await page.getByLabel("Why").fill("corner torn");
  await page.getByRole("button", { name: "Decide", exact: true }).click();
  await expect(page.getByRole("row", { name: /^12 679 set aside by eye corner torn/ })).toBeVisible();

  await page.getByRole("link", { name: "Print list with tick boxes" }).click();
  await expect(page.getByRole("row", { name: /690 bad/ })).toBeVisible();
  await expect(page.getByRole("img", { name: "job=TRAY-7;sheet=690" })).toBeVisible();
  await page.getByRole("link", { name: /Night run, drifting/ }).click();

  await page.getByText("All", { exact: true }).click();
  await page.getByRole("link", { name: "333" }).click();
  const history = page.getByRole("list").filter({ hasText: "cut again" });
  await expect(history.getByRole("listitem")).toHaveText([/BAD/, /cut again: lay askew/, /GOOD.*cut again/]);
  expect(log).toEqual([]);
});

test("sampling by the shop's costs; a run deleted, the records looked through and backed up, the run brought back", async ({ page, open, library, log }) => {
  await loadDemo(library, SAMPLES);
  await openNight(page, open, "How often to check");
  await expect(page.getByText(/^Check every/)).toBeVisible();
  const every = async (): Promise<number> => Number(/every (\d+)/.exec((await page.getByText(/^Check every/).textContent()) ?? "")?.[1] ?? 1);
  const before = await every();
  await page.getByLabel("A bad sheet costs").fill("500");
  await page.getByRole("button", { name: "Work it out" }).click();
  await expect.poll(every).toBeLessThan(before);
  await page.getByRole("button", { name: "Name, stack size" }).click();
  await page.getByRole("button", { name: "Delete this run" }).click();
  await expect(page.getByText("The run is deleted.")).toBeVisible();
  await page.getByRole("link", { name: "Runs" }).first().click();
  await expect(page.getByRole("link", { name: /Night run, steady/ })).toBeVisible();
  await expect(page.getByRole("link", { name: /Night run, drifting/ })).toBeHidden();

  await page.getByRole("link", { name: "Records" }).click();
  await page.getByRole("button", { name: "Look through all records" }).click();
  await expect(page.getByText("The records are whole. Runs: 1, checks: 84, pictures in the tray: 0.")).toBeVisible();
  await page.getByRole("listitem").filter({ hasText: /^run 1, deleted/ }).getByRole("button", { name: "Undo" }).click();
  await expect(page.getByText("Nothing was deleted.")).toBeVisible();
  // A blade that is gone is taken off the list, and brought back.
  await page.getByRole("button", { name: /^Delete: / }).first().click();
  await expect(page.getByText(/ is off the list\./)).toBeVisible();
  await expect(page.getByRole("listitem").filter({ hasText: /^tool \d+, deleted/ })).toBeVisible();
  await page.getByRole("status").getByRole("button", { name: "Undo" }).click();
  await expect(page.getByText("Nothing was deleted.")).toBeVisible();
  await page.getByRole("button", { name: "Back up now" }).click();
  await expect(page.getByText(/^Backed up to .*sqlite$/)).toBeVisible();
  await page.getByText("Keep a copy of each").click();
  await expect.poll(() => library.settings.get("pictures")).toBe("copy");
  await page.getByRole("link", { name: "Runs" }).first().click();
  await expect(page.getByRole("link", { name: /Night run, drifting/ })).toBeVisible();
  expect(log).toEqual([]);
});

test("the tray: measured again with a job that the operator says, and put aside with a way back", async ({ page, open, library, pictures, log }) => {
  const { JOB } = await import("./fixture/sheets.ts");
  await library.jobs.put(JOB);
  const picture = await library.pictures.keep(pictures.good);
  await library.tray.add({ picture, image: "sheet-1.jpg", reason: { code: "no-job", message: "No job was given that the sheet could belong to.", hint: "Name the job." }, takenAt: "2026-03-02T08:00:00" });
  await open();
  await page.getByRole("link", { name: "Runs" }).click();
  await page.getByRole("link", { name: "Hot folder and tray (1 waiting)" }).click();
  await page.getByRole("button", { name: "Put aside" }).click();
  await expect(page.getByText("The tray is empty.")).toBeVisible();
  await page.getByRole("button", { name: "Undo" }).click();
  await page.locator("select[name=job]").selectOption("CARD-3");
  await page.getByLabel("Sheet number").fill("17");
  await page.getByRole("button", { name: "Measure again" }).click();
  await expect(page.getByText("The tray is empty.")).toBeVisible({ timeout: 120_000 });
  expect((await library.checks.page(1))[0]).toMatchObject({ sheet: "17", verdict: "in" });
  expect(log).toEqual([]);
});

test("the hot folder: a folder that is not there is told in a sentence; one that is takes its pictures in", async ({ page, open, library, pictures, dataDir, log }) => {
  const { JOB } = await import("./fixture/sheets.ts");
  await library.jobs.put(JOB);
  await open();
  await page.getByRole("link", { name: "Runs" }).click();
  await page.getByRole("link", { name: "Hot folder and tray" }).click();
  await page.getByLabel("Folder", { exact: true }).fill("/no/such/folder");
  await page.getByRole("button", { name: "Start watching" }).click();
  await expect(page.getByRole("alert")).toContainText("There is no folder /no/such/folder.");
  log.length = 0; // The browser writes the refused request to its console.
  // Nobody needs to type a path: the folders below the user's home are there to be walked through.
  const home = process.env.HOME;
  process.env.HOME = dataDir;
  await mkdir(join(dataDir, "scans", "today"), { recursive: true });
  for (const file of [pictures.good, pictures.bad]) await copyFile(file, join(dataDir, "scans", "today", basename(file)));
  await page.getByRole("button", { name: "Choose a folder" }).click();
  await page.getByRole("button", { name: "scans", exact: true }).click();
  await page.getByRole("button", { name: "today", exact: true }).click();
  await expect(page.getByText("There are no folders in this one.")).toBeVisible();
  await page.getByRole("button", { name: "One folder up" }).click();
  await page.getByRole("button", { name: "today", exact: true }).click();
  await page.getByRole("button", { name: "Take this folder" }).click();
  process.env.HOME = home;
  await expect(page.getByLabel("Folder", { exact: true })).toHaveValue(join(dataDir, "scans", "today"));
  await page.getByRole("button", { name: "Start watching" }).click();
  await expect(page.getByText("2 entered, 0 into the tray")).toBeVisible({ timeout: 240_000 });
  await page.getByRole("button", { name: "Stop watching" }).click();
  await expect(page.getByRole("button", { name: "Start watching" })).toBeVisible();
  expect(await library.checks.count(1)).toBe(2);
  expect(log).toEqual([]);
});
