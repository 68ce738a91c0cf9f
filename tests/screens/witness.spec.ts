import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import AxeBuilder from "@axe-core/playwright";
import { chooseFile, expect, test } from "./fixture/desk.ts";
import { WITNESS_JOB, writeJob, writeSheet } from "./fixture/sheets.ts";

test.describe.configure({ timeout: 300_000 });

test("a witness is shown with its place, what it says, its U, and what all cuts say there; after a recorded check too", async ({ page, open, log }) => {
  const folder = await mkdtemp(join(tmpdir(), "kerfmark-witness-"));
  const job = await writeJob(folder, WITNESS_JOB);
  const picture = await writeSheet(folder, "witness.jpg", { job: WITNESS_JOB, seed: 3, offset: { x: 0.21, y: -0.12 } });
  await open();
  await chooseFile(page, "Open a job", job);
  await chooseFile(page, "Add pictures", picture);
  await expect(page.getByRole("region", { name: "Verdict" })).toHaveAttribute("data-standing", /in|out|unsure/, { timeout: 120_000 });
  // The drawn sheet is off by (0.21, -0.12) mm everywhere.
  const title = page.getByRole("button", { name: "Witnesses" });
  await expect(title).toHaveAttribute("aria-expanded", "true");
  const row = page.getByRole("table", { name: "Witnesses" }).getByRole("row", { name: /M3.*at 160.0, 110.0/ });
  const said = (await row.getByRole("cell").allTextContents()).map((text) => Number(text.replace("\u2212", "-")));
  expect(Math.abs(said[0] - 0.21)).toBeLessThan(0.03);
  expect(Math.abs(said[1] + 0.12)).toBeLessThan(0.03);
  expect(Math.hypot(said[0] - 0.21, said[1] + 0.12)).toBeLessThan(1.5 * said[2]);
  await expect(row.getByRole("cell").last()).toHaveText(/^\+0\.2\d+\u22120\.1\d+$/);
  const found = await new AxeBuilder({ page }).include(".panel").analyze();
  expect(found.violations.map((v) => v.id)).toEqual([]);
  // Folded and opened by the keyboard.
  await title.focus();
  await page.keyboard.press("Enter");
  await expect(title).toHaveAttribute("aria-expanded", "false");
  await page.keyboard.press("Enter");
  await page.goto(`${new URL(page.url()).origin}/#check/run/1/1`);
  await expect(page.getByRole("table", { name: "Witnesses" })).toContainText("at 160.0, 110.0");
  expect(log).toEqual([]);
  await rm(folder, { recursive: true, force: true });
});
