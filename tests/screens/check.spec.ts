import { chooseFile, expect, test } from "./fixture/desk.ts";

test.describe.configure({ timeout: 600_000 });

test("from first start to a verdict in three actions", async ({ page, open, pictures, log }) => {
  await open();
  await expect(page.getByRole("heading", { name: "Which job is on the table?" })).toBeVisible();
  await chooseFile(page, "Open a job", pictures.job);
  await chooseFile(page, "Add pictures", pictures.good);
  const verdict = page.getByRole("region", { name: "Verdict" });
  await expect(verdict).toHaveAttribute("data-standing", "in", { timeout: 120_000 });
  await expect(verdict.getByRole("heading")).toHaveText("GOOD");
  // The drawn sheet's true offset is (0.08, -0.05) mm.
  const offset = page.getByRole("row", { name: /Offset, right \+/ }).getByRole("cell").first();
  expect(Math.abs(Number(await offset.textContent()) - 0.08)).toBeLessThan(0.02);
  await expect(page.locator("canvas[data-ready=true]")).toBeVisible();
  expect(log).toEqual([]);
});

test("the sample, a bad sheet, moving about the picture by keys", async ({ page, open, log }) => {
  await open();
  await page.getByRole("button", { name: "Try the sample job" }).click();
  await page.getByRole("option", { name: /sheet-2/ }).click();
  const verdict = page.getByRole("region", { name: "Verdict" });
  await expect(verdict).toHaveAttribute("data-standing", "out", { timeout: 120_000 });
  await expect(page.getByText("to the right").or(page.getByText("to the left")).first()).toBeVisible();
  const canvas = page.locator("canvas[data-ready=true]");
  const before = Number(await canvas.getAttribute("data-scale"));
  await canvas.focus();
  await page.keyboard.press("+");
  await expect.poll(async () => Number(await canvas.getAttribute("data-scale"))).toBeGreaterThan(before * 1.2);
  await page.keyboard.press("0");
  await expect.poll(async () => Number(await canvas.getAttribute("data-scale"))).toBeCloseTo(before, 6);
  expect(log).toEqual([]);
});

test("a file that is no job, a file that is no picture", async ({ page, open, pictures }) => {
  await open();
  await chooseFile(page, "Open a job", { name: "broken.json", mimeType: "application/json", buffer: Buffer.from("{ no json") });
  await expect(page.getByRole("alert")).toContainText("not JSON");
  await chooseFile(page, "Open a job", pictures.job);
  await chooseFile(page, "Add pictures", { name: "note.jpg", mimeType: "image/jpeg", buffer: Buffer.from("not a picture at all") });
  const verdict = page.getByRole("region", { name: "Verdict" });
  await expect(verdict).toHaveAttribute("data-standing", "refused", { timeout: 120_000 });
  await expect(verdict).toContainText("Save it as JPEG, PNG or TIFF");
});
