import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import AxeBuilder from "@axe-core/playwright";
import type { Download, Page } from "@playwright/test";
import { PDFDocument } from "pdf-lib";
import { exportSvg } from "../../core/job/export/svg.ts";
import { jobSchema } from "../../core/job/schema.ts";
import { expect, test } from "./fixture/desk.ts";
import { JOB } from "./fixture/sheets.ts";
import { shoot } from "./fixture/shoot.ts";

test.describe.configure({ timeout: 600_000 });
test.use({ actionTimeout: 60_000 });

test("a job from a drawing, to the first verdict", async ({ page, open, pictures, library, log }) => {
  await open();
  await page.getByRole("link", { name: "Jobs" }).click();
  await page.getByRole("button", { name: "Import a drawing" }).click();
  await choose(page, "Choose a drawing", drawing("card.svg", cardSvg()));
  // The layers' names say what they are; the marks found in the layer of marks are taken.
  await expect(page.getByRole("radiogroup", { name: "Meaning of die cut" }).getByRole("radio", { name: "Cut" })).toBeChecked();
  await expect(page.getByText("5 of 6 taken")).toBeVisible();
  await expect(page.getByText(/This makes 1 cut, 1 crease, 5 marks/)).toBeVisible();
  await expect(page.getByText(/1 cut line was drawn twice/)).toBeVisible();
  await page.getByLabel("Id", { exact: true }).fill("CARD-3");
  await page.getByRole("button", { name: "Make the job" }).click();

  await expect(page.getByText("Nothing to mind")).toBeVisible();
  await page.getByText("Printed side down, turned over left to right").click();
  await page.getByLabel("Offset", { exact: true }).fill("0.4");
  await page.getByRole("button", { name: "Use for checking" }).click();
  await choose(page, "Add pictures", pictures.good);
  const verdict = page.getByRole("region", { name: "Verdict" });
  await expect(verdict).toHaveAttribute("data-standing", "in", { timeout: 120_000 });

  // The job file is the contract's, and the run keeps the version it was measured with.
  const kept = await library.jobs.latest("CARD-3");
  expect(kept?.job).toMatchObject({ sheet: { width: 170, height: 120 }, cutFrom: "reverse", flip: "x", tolerance: { position: 0.5, offset: 0.4 } });
  expect(kept?.job.marks.map(({ shape, x, y }) => ({ shape, x, y }))).toEqual(expect.arrayContaining(JOB.marks.map(({ shape, x, y }) => ({ shape, x, y }))));
  const [run] = await library.runs.list();
  expect(run.jobVersionId).toBe(kept?.id);
  expect(log).toEqual([]);
});

test("meanings by keys and by click, a preset remembered; a unit asked for; refusals that lose nothing", async ({ page, open, log }) => {
  await open();
  await page.evaluate(() => { location.hash = "jobs/import"; });
  await choose(page, "Choose a drawing", drawing("card.svg", cardSvg({ cut: "A", crease: "B", marks: "C" })));
  await expect(page.getByText(/No layer, colour or step is taken for cuts/)).toBeVisible();
  const canvas = page.locator(".sheet-canvas canvas");
  await canvas.focus();
  // Keys: past the artwork to the next group, and what it is.
  for (const key of ["n", "n", "1"]) await page.keyboard.press(key);
  await expect(page.getByRole("radiogroup", { name: "Meaning of A", exact: true }).getByRole("radio", { name: "Cut" })).toBeChecked();
  // A click on the crease finds its group.
  await clickAt(page, 85, 60);
  await expect(page.locator(".group[data-chosen]")).toContainText("B");
  await page.keyboard.press("2");
  await page.getByRole("radiogroup", { name: "Meaning of C" }).getByText("Mark").click();
  await expect(page.getByText(/This makes 1 cut, 1 crease, 5 marks/)).toBeVisible();
  await page.getByText("Remember these meanings").click();
  await page.getByLabel("Name of the preset").fill("seed shop");
  await page.getByRole("button", { name: "Save" }).click();
  await expect(page.getByText("Remembered as seed shop.")).toBeVisible();

  await choose(page, "Another drawing", drawing("other.svg", cardSvg({ cut: "A", crease: "B", marks: "C" })));
  await expect(page.getByRole("radiogroup", { name: "Meaning of A", exact: true }).getByRole("radio", { name: "Nothing" })).toBeChecked();
  await page.getByRole("combobox", { name: "Preset" }).selectOption("seed shop");
  await expect(page.getByText(/This makes 1 cut, 1 crease, 5 marks/)).toBeVisible();

  await choose(page, "Another drawing", drawing("plain.dxf", "0\nSECTION\n2\nENTITIES\n0\nCIRCLE\n8\nCUT\n10\n50\n20\n40\n40\n30\n0\nENDSEC\n0\nEOF\n"));
  await page.getByRole("button", { name: "Millimetres: 60.0 × 60.0 mm" }).click();
  await expect(page.getByText(/This makes 1 cut, 0 creases, 0 marks/)).toBeVisible();
  // The first page of this PDF holds no lines, its second the card at true size.
  await choose(page, "Another drawing", { name: "pages.pdf", mimeType: "application/pdf", buffer: await twoPages() });
  await expect(page.getByText("Page 2 of 2")).toBeVisible();
  await expect(page.getByLabel("Sheet width")).toHaveValue("170");
  await choose(page, "Another drawing", drawing("broken.pdf", "%PDF-1.7 and then nothing"));
  await expect(page.getByRole("alert")).toContainText("broken.pdf cannot be used.");
  expect(log).toEqual([]);
});

test("the editor: a mark by drag, by keys and by numbers; undo; everything kept; versions", async ({ page, open, library, log }) => {
  const { jobId } = await library.jobs.put(JOB);
  await open();
  await page.evaluate((id) => { location.hash = `jobs/${id}`; }, jobId);
  await expect(page.getByText("Nothing to mind")).toBeVisible();
  const place = async () => {
    await expect(page.getByText("Everything is kept")).toBeVisible();
    const { x, y } = (await library.drafts.page(jobId)).content.marks[4];
    return [x, y];
  };
  // By drag: 30 mm to the right.
  const from = await onScreen(page, 70, 10);
  const to = await onScreen(page, 100, 10);
  await page.mouse.move(from.x, from.y);
  await page.mouse.down();
  // A hand that pauses in the middle is still the same hand: one step to undo.
  await page.mouse.move((from.x + to.x) / 2, from.y - 40, { steps: 3 });
  await page.waitForTimeout(1500);
  await page.mouse.move(to.x, to.y, { steps: 5 });
  await page.mouse.up();
  await expect.poll(place).toEqual([100, 10]);
  // By keys: taken in hand, 2 mm up, a tenth to the right, let go.
  await page.locator(".sheet-canvas canvas").focus();
  for (const key of ["Enter", "ArrowUp", "ArrowUp", "Shift+ArrowRight", "Enter"]) await page.keyboard.press(key);
  await expect.poll(place).toEqual([100.1, 12]);
  // By numbers, with a comma too; what is no number is said and changes nothing.
  const left = page.getByRole("group", { name: "Mark M5" }).getByLabel("From the left");
  await left.fill("95,5");
  await expect.poll(place).toEqual([95.5, 12]);
  await left.fill("wide");
  await expect(page.getByText("That is not a number.")).toBeVisible();
  await left.blur();
  // Back over all of it, and forth.
  const undo = page.getByRole("button", { name: "Undo" });
  for (let i = 0; i < 3; i++) await undo.click();
  await expect.poll(place).toEqual([70, 10]);
  await page.getByRole("button", { name: "Redo" }).click();
  await expect.poll(place).toEqual([100, 10]);

  // What was not touched is as it was loaded.
  const { content } = await library.drafts.page(jobId);
  expect({ ...content, marks: JOB.marks }).toEqual(JOB);
  await page.reload();
  await expect(page.getByText("Dot 6.0, 100.0 / 10.0 mm")).toBeVisible();

  await page.getByRole("button", { name: "Keep as a version" }).click();
  await expect(page.getByText("Kept as version 2.")).toBeVisible();
  await page.getByRole("link", { name: "Versions" }).click();
  await page.getByRole("button", { name: "Go back to version 1" }).click();
  await expect.poll(async () => (await library.drafts.page(jobId)).content).toEqual(JOB);
  expect(log).toEqual([]);
});

test("checks while editing: what is missing leads to itself, and a job that lacks marks is not let through", async ({ page, open, library }) => {
  const id = await library.drafts.create({ ...JOB, marks: JOB.marks.slice(0, 2) });
  await open();
  await page.evaluate((job) => { location.hash = `jobs/${job}`; }, id);
  await expect(page.getByText(/at least three marks/)).toBeVisible();
  await page.getByRole("button", { name: "Use for checking" }).click();
  await expect(page.getByRole("alert")).toContainText("at least three marks");
  await page.getByRole("button", { name: "Add a mark" }).click();
  await expect(page.getByText("Nothing to mind")).toBeVisible();

  const corners = [[10, 10], [160, 10], [160, 110], [10, 110]].map(([x, y], i) => ({ id: `M${i + 1}`, shape: "dot" as const, x, y, diameter: 6 }));
  const same = await library.drafts.create({ ...JOB, marks: corners });
  await page.evaluate((job) => { location.hash = `jobs/${job}`; }, same);
  await expect(page.getByText(/look the same after a turn/)).toBeVisible();
  await page.getByRole("option", { name: /M4/ }).click();
  await page.getByRole("group", { name: "Mark M4" }).getByText("Ring").click();
  await expect(page.getByText("Nothing to mind")).toBeVisible();
});

test("the list: open a job file, duplicate, remove and bring back", async ({ page, open, pictures, log }) => {
  await open();
  await page.evaluate(() => { location.hash = "jobs"; });
  await choose(page, "Open a job file", pictures.job);
  await expect(page.getByRole("heading", { name: "Seed counter card" })).toBeVisible();
  await page.getByRole("link", { name: /All jobs/ }).click();
  await page.getByRole("button", { name: "Duplicate: Seed counter card" }).click();
  await expect(page.getByRole("link", { name: /Seed counter card, copy/ })).toBeVisible();
  await page.getByRole("button", { name: "Remove Seed counter card, copy" }).click();
  await expect(page.getByRole("link", { name: /Seed counter card, copy/ })).toHaveCount(0);
  await page.getByRole("button", { name: "Undo" }).click();
  await expect(page.getByRole("link", { name: /Seed counter card, copy/ })).toBeVisible();
  await choose(page, "Open a job file", { name: "bad.json", mimeType: "application/json", buffer: Buffer.from("{ no job") });
  await expect(page.getByRole("alert")).toContainText("not JSON");
  expect(log).toEqual([]);
});

test("before printing: what will be measured how well, marks proposed and taken, one more by numbers, files out", async ({ page, open, library, log }) => {
  const { jobId } = await library.jobs.put({ ...JOB, codes: [{ symbology: "qr", x: 85, y: 108, size: 14, payload: "job={job};sheet={sheet}" }] });
  await open();
  await page.evaluate((id) => { location.hash = `jobs/${id}/design`; }, jobId);
  const worst = page.getByRole("row", { name: /Worst place/ }).getByRole("cell").first();
  const U = async () => Number.parseFloat((await worst.textContent()) ?? "");
  await page.getByText("A scanner").click();
  await expect.poll(U, { timeout: 60_000 }).toBeGreaterThan(0);
  const fine = await U();
  await page.getByLabel("Resolution").fill("100");
  await expect.poll(U, { timeout: 60_000 }).toBeGreaterThan(fine);

  // Kept out of artwork: a bar along the lower edge of the print.
  await choose(page, "Keep out of the print's artwork", drawing("print.svg", '<svg xmlns="http://www.w3.org/2000/svg" width="170mm" height="120mm" viewBox="0 0 170 120"><rect width="170" height="25" y="95" fill="#070"/><circle cx="20" cy="20" r="2" fill="#700"/></svg>'));
  await expect(page.getByText("Marks and witnesses keep out of 2 areas of print.svg.")).toBeVisible();

  await page.getByLabel("How many").first().fill("2.5");
  await expect(page.getByText("That is not a whole number.")).toBeVisible();
  await page.getByLabel("How many").first().fill("6");
  await page.getByRole("button", { name: "Propose", exact: true }).first().click();
  await expect(page.getByText(/6 marks: the worst uncertainty goes from/)).toBeVisible({ timeout: 60_000 });
  await page.getByRole("button", { name: "Take them" }).click();
  await expect.poll(async () => (await library.drafts.page(jobId)).content.marks.length).toBe(6);
  expect(Math.min(...(await library.drafts.page(jobId)).content.marks.map((m) => m.y))).toBeGreaterThan(25 + 3);
  await page.getByLabel("From the left").fill("85");
  await page.getByLabel("From the bottom").fill("50");
  await expect(page.getByText(/Worst now/)).toBeVisible({ timeout: 60_000 });
  await page.getByRole("button", { name: "Add this mark" }).click();
  await expect.poll(async () => (await library.drafts.page(jobId)).content.marks.at(-1)).toMatchObject({ x: 85, y: 50 });
  // Two steps back: the job is as it was, and its code with it.
  for (let i = 0; i < 2; i++) await page.getByRole("button", { name: "Undo" }).click();
  await expect.poll(async () => (await library.drafts.page(jobId)).content.marks).toEqual(JOB.marks);

  await page.getByRole("link", { name: "Out again" }).click();
  for (const part of ["Cuts", "Creases"]) await page.getByText(part, { exact: true }).click();
  const save = async (button: string): Promise<Download> => {
    const download = page.waitForEvent("download");
    await page.getByRole("button", { name: button }).click();
    return download;
  };
  await page.getByLabel("How many").fill("20000");
  await expect(page.getByText("At most 10000.", { exact: true })).toBeVisible();
  expect((await save("Save the numbered pages")).suggestedFilename()).toBe("CARD-3-1-100.pdf");
  const overlay = await (await save("Save as PDF")).path();
  // Out and in again: the overlay's own layers and steps say what is what, and everything is where it was.
  await page.evaluate(() => { location.hash = "jobs/import"; });
  await choose(page, "Choose a drawing", overlay);
  await expect(page.getByText(/This makes 1 cut, 1 crease, 5 marks/)).toBeVisible();
  await page.getByLabel("Id", { exact: true }).fill("BACK");
  await page.getByRole("button", { name: "Make the job" }).click();
  await expect(page.getByText("Nothing to mind")).toBeVisible();
  const back = (await library.drafts.page((await library.drafts.find("BACK"))?.id ?? 0)).content;
  expect(back.sheet).toMatchObject({ width: 170, height: 120 });
  for (const { x, y } of JOB.marks) expect(Math.min(...back.marks.map((m) => Math.hypot(m.x - x, m.y - y)))).toBeLessThan(0.001);
  expect(log).toEqual([]);
});

for (const theme of ["light", "dark", "contrast"]) {
  test(`the Jobs place is accessible, ${theme}`, async ({ page, open, library, dataDir, log }) => {
    const tray = jobSchema.parse(JSON.parse(await readFile(join(import.meta.dirname, "../../samples/TRAY-7.job.json"), "utf8")));
    const { jobId } = await library.jobs.put(tray);
    const made = exportSvg(tray);
    if (!made.ok) throw new Error(made.reason);
    const file = join(dataDir, "shelf tray.svg");
    await writeFile(file, made.file);
    await page.setViewportSize({ width: 1366, height: 800 });
    await open();
    await settings(page, { theme });
    const look = async (name: string) => {
      const found = await new AxeBuilder({ page }).withTags(["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]).analyze();
      expect(found.violations.map(({ id, nodes }) => `${name}: ${id} ${nodes.map((node) => node.html).join(" | ")}`)).toEqual([]);
      if (theme === "light" || (theme === "dark" && name === "editor")) await shoot(page, `jobs-${name}-${theme}`);
    };
    await page.evaluate(() => { location.hash = "jobs"; });
    await expect(page.getByRole("link", { name: /Shelf tray/ })).toBeVisible();
    await look("list");
    await page.evaluate(() => { location.hash = "jobs/import"; });
    await choose(page, "Choose a drawing", file);
    await expect(page.getByText(/This makes/)).toBeVisible();
    await look("import");
    await page.evaluate((id) => { location.hash = `jobs/${id}`; }, jobId);
    await expect(page.getByText("Nothing to mind")).toBeVisible();
    await page.getByRole("option", { name: /M3/ }).click();
    for (const title of ["Job and sheet", "Bleed and safe zone", "Code", "Datum"]) await page.getByRole("button", { name: title, exact: true }).click();
    await look("editor");
    await page.getByRole("link", { name: "How good will it be?" }).click();
    await expect(page.locator(".grade")).toBeVisible();
    await look("design");
    await page.getByRole("link", { name: "Out again" }).click();
    await look("out");
    await page.getByRole("link", { name: "Versions" }).click();
    await look("versions");
    expect(log).toEqual([]);
  });
}

test("double text, German and a narrow window lose nothing", async ({ page, open, library, pictures }) => {
  const { jobId } = await library.jobs.put(JOB);
  await open();
  await settings(page, { textSize: "largest", language: "de" });
  for (const width of [1280, 700]) {
    await page.setViewportSize({ width, height: 800 });
    for (const place of ["jobs", `jobs/${jobId}`, `jobs/${jobId}/design`, `jobs/${jobId}/out`, `jobs/${jobId}/versions`]) {
      await page.evaluate((hash) => { location.hash = hash; }, place);
      await expect(page.getByText("Seed counter card").first()).toBeVisible();
      expect(await page.locator("main").evaluate((main) => main.scrollWidth - main.clientWidth), `${place} at ${width}`).toBeLessThanOrEqual(1);
    }
    await page.evaluate(() => { location.hash = "jobs/import"; });
    await choose(page, "Zeichnung wählen", drawing("karte.svg", cardSvg()));
    await expect(page.getByText(/1 Schnitt, 1 Rillung/)).toBeVisible();
    expect(await page.locator("main").evaluate((main) => main.scrollWidth - main.clientWidth), `import at ${width}`).toBeLessThanOrEqual(1);
  }
  expect(pictures.job).toBeTruthy();
});

/** The demo card as a drawing program would save it: layers by name, y down, one line drawn twice, one disc that is artwork. */
function cardSvg(names = { cut: "die cut", crease: "crease", marks: "registration marks" }): string {
  const y = (v: number) => JOB.sheet.height - v;
  const marks = JOB.marks.map((m) => {
    if (m.shape === "dot") return `<circle cx="${m.x}" cy="${y(m.y)}" r="${m.diameter / 2}"/>`;
    if (m.shape !== "ring") throw new Error(`The drawing knows no ${m.shape}.`);
    const hoop = (r: number) => `M${m.x - r} ${y(m.y)}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0z`;
    return `<path fill-rule="evenodd" d="${hoop(m.outer / 2)}${hoop(m.inner / 2)}"/>`;
  });
  const card = `<path d="M25 25H145V95H25Z"/>`;
  return `<svg xmlns="http://www.w3.org/2000/svg" width="170mm" height="120mm" viewBox="0 0 170 120">
    <g id="artwork"><circle cx="60" cy="45" r="12" fill="#d8b24a"/></g>
    <g id="${names.cut}" fill="none" stroke="#e4007f">${card}${card}</g>
    <g id="${names.crease}" fill="none" stroke="#009fe3"><path d="M25 60H145"/></g>
    <g id="${names.marks}">${marks.join("")}</g></svg>`;
}

/** A cover without lines, then the card's cut as a PDF of true size. */
async function twoPages(): Promise<Buffer> {
  const document = await PDFDocument.create();
  const pt = 72 / 25.4;
  document.addPage([200, 200]);
  document.addPage([170 * pt, 120 * pt]).drawRectangle({ x: 25 * pt, y: 25 * pt, width: 120 * pt, height: 70 * pt, borderWidth: 0.3 });
  return Buffer.from(await document.save());
}

interface Drawing { readonly name: string; readonly mimeType: string; readonly buffer: Buffer }

function drawing(name: string, text: string): Drawing {
  return { name, mimeType: "application/octet-stream", buffer: Buffer.from(text) };
}

async function choose(page: Page, button: string, file: string | Drawing): Promise<void> {
  const chooser = page.waitForEvent("filechooser");
  await page.getByRole("button", { name: button }).first().click();
  await (await chooser).setFiles(file);
}

/** Where a place of the sheet, mm, is on the screen. */
async function onScreen(page: Page, x: number, y: number): Promise<{ x: number; y: number }> {
  const canvas = page.locator("canvas[data-sharp=true]");
  const box = await canvas.boundingBox();
  const view = await canvas.evaluate((c) => ({ scale: Number(c.dataset["scale"]), x: Number(c.dataset["x"]), y: Number(c.dataset["y"]) }));
  if (!box) throw new Error("The canvas is not to be seen.");
  return { x: box.x + view.x + view.scale * x, y: box.y + view.y + view.scale * (JOB.sheet.height - y) };
}

async function clickAt(page: Page, x: number, y: number): Promise<void> {
  const at = await onScreen(page, x, y);
  await page.mouse.click(at.x, at.y);
}

async function settings(page: Page, part: object): Promise<void> {
  await page.evaluate((body) => fetch("/api/settings", { method: "PATCH", headers: { "content-type": "application/json" }, body }), JSON.stringify(part));
  await page.reload();
}
