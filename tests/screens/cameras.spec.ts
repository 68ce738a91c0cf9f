import AxeBuilder from "@axe-core/playwright";
import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import type { Page } from "@playwright/test";
import type { Lens } from "../../core/camera/lens.ts";
import { marksOf } from "../../core/camera/target/dots.ts";
import { encodePicture } from "../../electron/cli/verbs/samplePicture.ts";
import { targetFor } from "../../electron/host/calibrate/targetPdf.ts";
import { drawMarks, viewOf } from "../support/targetPicture.ts";
import { chooseFile, expect, test } from "./fixture/desk.ts";
import { shoot } from "./fixture/shoot.ts";

test.describe.configure({ timeout: 600_000 });

const LENS: Lens = { fx: 1000, fy: 1000, cx: 602, cy: 446, k1: -0.15, k2: 0, p1: 0, p2: 0, k3: 0 };
const TILTS = [[0, 0], [0.5, 0], [-0.5, 0], [0, 0.5], [0, -0.5], [0.35, 0.35]] as const;

/** Pictures of the A4 target through a lens known to the test. */
async function targetPictures(folder: string): Promise<string[]> {
  return Promise.all(TILTS.map(async (tilt, i) => {
    const view = viewOf(LENS, { x: 120, y: 67.5 }, tilt, 0.3 * i, 215);
    const file = join(folder, `target-${i + 1}.png`);
    await writeFile(file, await encodePicture(drawMarks(marksOf(targetFor("a4", "dots")), view, 1200, 900, { seed: i + 1 }), { format: "png" }));
    return file;
  }));
}

async function accessible(page: Page): Promise<void> {
  const { violations } = await new AxeBuilder({ page }).withTags(["wcag2a", "wcag2aa", "wcag21aa"]).analyze();
  expect(violations.map((v) => `${v.id}: ${v.nodes[0]?.html}`)).toEqual([]);
}

async function put(page: Page, button: string, files: string[]): Promise<void> {
  const chooser = page.waitForEvent("filechooser");
  await page.getByRole("button", { name: button }).click();
  await (await chooser).setFiles(files);
}

test("a camera profile from pictures of the target: verdict, residuals, saved, used, deleted and brought back", async ({ page, open, dataDir, log }) => {
  const pictures = await targetPictures(dataDir);
  await open();
  await page.getByRole("link", { name: "Cameras", exact: true }).click();
  await expect(page.getByText("No profiles yet.")).toBeVisible();
  await accessible(page);
  await page.getByRole("link", { name: "Make a camera profile" }).click();
  const download = page.waitForEvent("download");
  await page.getByRole("link", { name: "Get the target (PDF)" }).click();
  expect((await download).suggestedFilename()).toBe("calibration-target-dots-a4.pdf");
  await put(page, "Add pictures", pictures);
  await expect(page.getByText(/points read/)).toHaveCount(6, { timeout: 120_000 });
  await expect(page.getByRole("heading", { name: "The profile", exact: true })).toBeVisible({ timeout: 60_000 });
  await expect(page.getByRole("img", { name: /longest arrow is/ })).toBeVisible();
  await accessible(page);
  await shoot(page, "camera-new-light");
  await page.getByLabel("Name of the camera or scanner").fill("Bench camera");
  await page.getByRole("button", { name: "Save and use it" }).click();
  await expect(page.getByRole("heading", { name: "Bench camera" })).toBeVisible();
  await shoot(page, "camera-profile-light");
  const kept = await page.evaluate(async () => (await (await fetch("/api/cameras")).json()) as { profiles: { id: number; profile: { lens: { fx: number; k1: number } } }[]; chosen: string });
  expect(kept.chosen).toBe(String(kept.profiles[0].id));
  expect(Math.abs(kept.profiles[0].profile.lens.fx - 1000)).toBeLessThan(2);
  expect(Math.abs(kept.profiles[0].profile.lens.k1 + 0.15)).toBeLessThan(0.01);
  await page.getByRole("link", { name: "All profiles" }).click();
  await expect(page.getByRole("radio", { name: /Always “Bench camera”/ })).toBeChecked();
  await accessible(page);
  await shoot(page, "cameras-light");
  await page.getByRole("link", { name: /Bench camera/ }).click();
  await page.getByRole("button", { name: "Delete this profile" }).click();
  await page.getByRole("button", { name: "Undo" }).click();
  await expect(page.getByRole("heading", { name: "Bench camera" })).toBeVisible();
  expect(log).toEqual([]);
});

test("a picture that does not fit the chosen profile is measured without it, and the check says so", async ({ page, open, pictures }) => {
  await open();
  const profile = {
    format: "kerfmark.camera/1", kind: "camera", name: "Other size", date: "2026-11-01", exif: {}, picture: { width: 1234, height: 777 }, target: "t", pictures: 8, points: 900, rms: 0.05,
    residuals: { columns: 1, rows: 1, dx: [0], dy: [0], count: [900] }, verdict: { grade: "good", findings: [] }, lens: LENS, estimated: ["fx", "fy", "cx", "cy", "k1"],
    covariance: Array.from({ length: 9 }, () => new Array<number>(9).fill(0)),
  };
  await page.getByRole("link", { name: "Cameras", exact: true }).click();
  await chooseFile(page, "Add a profile file", { name: "broken.json", mimeType: "application/json", buffer: Buffer.from(JSON.stringify({ ...profile, lens: undefined })) });
  await expect(page.getByRole("alert")).toContainText("lens");
  await chooseFile(page, "Add a profile file", { name: "other.json", mimeType: "application/json", buffer: Buffer.from(JSON.stringify(profile)) });
  await page.getByText("Always “Other size”").click();
  await page.getByRole("link", { name: "Check", exact: true }).click();
  await chooseFile(page, "Open a job", pictures.job);
  await chooseFile(page, "Add pictures", pictures.good);
  await expect(page.getByRole("region", { name: "Verdict" })).toHaveAttribute("data-standing", "in", { timeout: 120_000 });
  await expect(page.getByText(/the profile "Other size" is for 1234 x 777/)).toBeVisible();
});

test("a gauge study is led through picture by picture and gives its result; the length check beside it", async ({ page, open, pictures, log }) => {
  await open();
  await chooseFile(page, "Open a job", pictures.job);
  await page.getByRole("link", { name: "Cameras", exact: true }).click();
  await page.getByRole("link", { name: /Gauge study/ }).click();
  await page.getByLabel(/^Sheets/).fill("A, B");
  await page.getByLabel(/^Operators/).fill("Ada, Ben");
  await page.getByRole("button", { name: "Use this plan" }).click();
  await expect(page.getByText(/^Next: Ada pictures sheet/)).toBeVisible();
  await accessible(page);
  // The same two pictures over and over: the sheets differ, the readings of one do not.
  const sheets: string[] = [];
  for (let i = 0; i < 8; i++) {
    const next = await page.getByText(/^Next: /).textContent();
    const sheet = / sheet (\w), /.exec(next ?? "")?.[1] ?? "";
    sheets.push(sheet);
    await put(page, "Put in this picture", [sheet === "A" ? pictures.good : pictures.bad]);
    await expect(page.getByText(`${i + 1} of 8`)).toBeVisible({ timeout: 120_000 });
    if (i === 3) await shoot(page, "gauge-light");
  }
  expect(sheets.filter((s) => s === "A")).toHaveLength(4);
  await page.getByRole("button", { name: /Remove the reading of sheet A, Ben 2/ }).click();
  await expect(page.getByText("7 of 8")).toBeVisible();
  await page.getByRole("button", { name: "Undo" }).click();
  await expect(page.getByText(/Fit for this tolerance/)).toBeVisible();
  await expect(page.getByRole("row", { name: /Between sheets/ })).toContainText("100.0");
  await page.getByLabel("True length, mm").fill("500");
  await page.getByLabel("Measured, mm").fill("500.04");
  await page.getByRole("button", { name: "Add", exact: true }).click();
  await expect(page.getByText(/^Passed: all 1 errors/)).toBeVisible();
  await page.getByLabel("True length, mm").fill("800");
  await page.getByLabel("Measured, mm").fill("800.2");
  await page.getByRole("button", { name: "Add", exact: true }).click();
  await expect(page.getByText(/^Failed: at 800/)).toBeVisible();
  await accessible(page);
  await shoot(page, "gauge-result-light");
  await page.reload();
  await expect(page.getByText(/Fit for this tolerance/)).toBeVisible();
  expect(log).toEqual([]);
});
