import { readFile } from "node:fs/promises";
import type { Page } from "@playwright/test";
import { chooseFile, expect, test } from "./fixture/desk.ts";

test.describe.configure({ timeout: 600_000 });

test("from first start to a verdict of one's own sheet in two actions", async ({ page, open, pictures, log }) => {
  await open();
  await expect(page.getByRole("heading", { name: "Does the cut sit where the print says?" })).toBeVisible();
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

test("from first start to a verdict in one action, with the sample shop; the offer is made once", async ({ page, open }) => {
  await open();
  await page.getByRole("button", { name: "Try the sample job" }).click();
  await expect(page.getByRole("region", { name: "Verdict" })).toHaveAttribute("data-standing", "in", { timeout: 120_000 });
  expect(await page.evaluate(async () => ((await (await fetch("/api/settings")).json()) as { welcomed: boolean }).welcomed)).toBe(true);
});

test("pictures by pasting, and what to do with what cannot be taken in", async ({ page, open, pictures }) => {
  await open();
  const bytes = [...(await readFile(pictures.good))];
  const paste = (name: string) => page.evaluate(({ given, called }) => {
    const clipboardData = new DataTransfer();
    clipboardData.items.add(new File([new Uint8Array(given)], called, { type: "image/jpeg" }));
    document.dispatchEvent(new ClipboardEvent("paste", { clipboardData, bubbles: true }));
  }, { given: bytes, called: name });
  await expect(page.getByRole("button", { name: "Try the sample job" })).toBeVisible();
  await paste("early.jpg");
  await expect(page.getByRole("alert")).toContainText("Open the sheet's job first.");
  await chooseFile(page, "Open a job", pictures.job);
  await paste("tray.dxf");
  await expect(page.getByRole("alert")).toContainText("That is a drawing");
  await paste("pasted.jpg");
  await expect(page.getByRole("region", { name: "Verdict" })).toHaveAttribute("data-standing", "in", { timeout: 120_000 });
  await expect(page.getByRole("option")).toHaveAccessibleName(/pasted|Sheet/);
});

test("what the window's shell opens is shown, and its menu leads to places", async ({ page, open, pictures }) => {
  await page.addInitScript(() => {
    const told: Record<string, (place?: string) => void> = {};
    Object.assign(window, { told, kerfmark: { onDeskChanged: (listener: () => void) => (told.desk = listener), onGo: (listener: () => void) => (told.go = listener) } });
  });
  const tell = (what: string, place?: string) => page.evaluate(([name, to]) => (window as unknown as { told: Record<string, (place?: string) => void> }).told[name](to), [what, place ?? ""]);
  await open();
  await expect(page.getByRole("button", { name: "Try the sample job" })).toBeVisible();
  await tell("go", "guide");
  await expect(page.getByRole("heading", { name: "Guide" })).toBeVisible();
  // The shell's own way to the application: a job, then a picture of it.
  const [job, good] = [(await readFile(pictures.job)).toString("utf8"), (await readFile(pictures.good)).toString("base64")];
  await page.evaluate(async (given) => {
    await fetch("/api/desk/job", { method: "POST", body: given.job });
    await fetch("/api/pictures?name=opened.jpg&from=shell", { method: "POST", body: Uint8Array.from(atob(given.good), (c) => c.charCodeAt(0)) });
  }, { job, good });
  await tell("desk");
  await expect(page.getByRole("region", { name: "Verdict" })).toHaveAttribute("data-standing", "in", { timeout: 120_000 });
});

test("a host that does not answer is said to be so, and nothing on the screen is lost", async ({ page, open, pictures }) => {
  await open();
  await chooseFile(page, "Open a job", pictures.job);
  await expect(page.getByRole("button", { name: "Add pictures" }).first()).toBeVisible();
  await page.route("**/api/**", (route) => route.abort());
  await chooseFile(page, "Add pictures", pictures.good);
  const verdict = page.getByRole("region", { name: "Verdict" });
  await expect(verdict).toHaveAttribute("data-standing", "failed");
  await expect(verdict).toContainText("The program's other half does not answer.");
  await page.getByRole("link", { name: "Runs" }).click();
  await expect(page.getByRole("alert")).toContainText("The program's other half does not answer.");
  await page.unroute("**/api/**");
  await page.getByRole("button", { name: "Try again" }).click();
  await expect(page.getByText("No runs yet.")).toBeVisible();
  await page.getByRole("link", { name: "Check" }).click();
  await page.getByRole("button", { name: "Measure again" }).click();
  await expect(verdict).toHaveAttribute("data-standing", "in", { timeout: 120_000 });
});

test("the sample, a bad sheet, moving about the picture by keys", async ({ page, open, log }) => {
  await open();
  await page.getByRole("button", { name: "Try the sample job" }).click();
  await page.getByRole("option", { name: /sheet-2/ }).click();
  const verdict = page.getByRole("region", { name: "Verdict" });
  await expect(verdict).toHaveAttribute("data-standing", "out", { timeout: 120_000 });
  await expect(page.getByText("to the right").or(page.getByText("to the left")).first()).toBeVisible();
  // The picture follows the verdict.
  const canvas = page.getByRole("img", { name: /^sheet-2/ });
  await expect(canvas).toHaveAttribute("data-ready", "true");
  const scale = async () => Number(await canvas.getAttribute("data-scale"));
  await expect(page.getByText(/Deviation drawn/)).toBeVisible();
  const inFull = await settled(scale, page);
  await canvas.focus();
  await page.keyboard.press("+");
  await page.keyboard.press("+");
  await expect.poll(scale).toBeGreaterThan(inFull * 1.2);
  await page.keyboard.press("0");
  await expect.poll(scale).toBeCloseTo(inFull, 6);
  expect(log).toEqual([]);
});

test("a place that was zoomed into stays where the window changes its size; a whole picture stays whole", async ({ page, open, log }) => {
  await page.setViewportSize({ width: 1300, height: 800 });
  await open();
  await page.getByRole("button", { name: "Try the sample job" }).click();
  const canvas = page.locator("canvas[data-ready=true]");
  await expect(page.getByRole("region", { name: "Verdict" })).toHaveAttribute("data-standing", "in", { timeout: 120_000 });
  await expect(page.getByText(/Deviation drawn/)).toBeVisible();
  const scale = async () => Number(await canvas.getAttribute("data-scale"));
  const inFull = await settled(scale, page);
  await page.setViewportSize({ width: 1200, height: 600 });
  await expect.poll(scale).toBeLessThan(inFull * 0.9);
  await canvas.focus();
  await page.keyboard.press("+");
  await page.keyboard.press("+");
  await expect.poll(scale).toBeGreaterThan(inFull);
  const near = await scale();
  await page.setViewportSize({ width: 1300, height: 800 });
  await expect.poll(async () => (await canvas.boundingBox())?.height).toBeGreaterThan(300);
  await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
  expect(await scale()).toBe(near);
  await page.keyboard.press("0");
  await expect.poll(scale).toBeCloseTo(inFull, 6);
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

/** The scale once it stays: the legend takes its place in one frame, the picture is fitted to what is left in a later one. */
async function settled(scale: () => Promise<number>, page: Page): Promise<number> {
  const now = await scale();
  await page.evaluate(async () => {
    for (let frame = 0; frame < 10; frame++) await new Promise((done) => requestAnimationFrame(done));
  });
  return (await scale()) === now ? now : settled(scale, page);
}
