import { readFile } from "node:fs/promises";
import type { Page } from "@playwright/test";
import Papa from "papaparse";
import { getDocument } from "pdfjs-dist/legacy/build/pdf.mjs";
import sharp from "sharp";
import type { Measured } from "../../core/check/record.ts";
import { chooseFile, expect, test } from "./fixture/desk.ts";
import { shoot } from "./fixture/shoot.ts";

test("the report of a sheet is kept as a file, written as the settings say", async ({ page, open, pictures, log }) => {
  await open();
  await page.getByRole("link", { name: "Settings" }).click();
  await page.getByRole("textbox", { name: "Name of the shop" }).fill("Shelf & Seed");
  for (const choice of ["Comma (0,5)", "Letter", "Semicolon"]) await page.getByText(choice, { exact: true }).click();
  const logo = await sharp({ create: { width: 120, height: 40, channels: 3, background: "#0d5966" } }).png().toBuffer();
  await chooseFile(page, "Choose a logo", { name: "logo.png", mimeType: "image/png", buffer: logo });
  await expect(page.getByRole("img", { name: "Logo" })).toBeVisible();
  await shoot(page, "settings-reports");

  await page.getByRole("link", { name: "Check" }).click();
  await chooseFile(page, "Open a job", pictures.job);
  await chooseFile(page, "Add pictures", pictures.bad);
  await expect(page.getByRole("region", { name: "Verdict" })).toHaveAttribute("data-standing", "out", { timeout: 120_000 });

  const json = JSON.parse((await report(page, "JSON")).bytes.toString("utf8")) as { record: Measured; shop: string; jobVersion: number };
  expect(json).toMatchObject({ shop: "Shelf & Seed", jobVersion: 1 });
  const { worst, offset } = json.record;
  const comma = (value: number) => `${value < 0 ? "-" : "+"}${Math.abs(value).toFixed(3)}`.replace(".", ",");

  const pdf = await report(page, "PDF");
  expect(pdf.name).toBe("CARD-3-sheet-2.jpg.pdf");
  const { text, size, pictureCount } = await readPdf(pdf.bytes);
  for (const said of ["Shelf & Seed", "OUT", "Job version 1", comma(worst.value), comma(offset.x), comma(offset.y), "JCGM 106", "Released by"]) expect(text).toContain(said);
  expect(size).toEqual([612, 792]);
  expect(pictureCount).toBeGreaterThanOrEqual(2);

  const csv = (await report(page, "CSV")).bytes.toString("utf8");
  const [row] = Papa.parse<Record<string, string>>(csv, { header: true, delimiter: ";" }).data;
  expect(Number(row.worst.replace(",", "."))).toBe(worst.value);
  expect(row.worst).toContain(",");

  const html = (await report(page, "HTML")).bytes.toString("utf8");
  expect(html).toContain("Shelf &#38; Seed");
  expect(html).toContain(comma(worst.value));
  expect(log).toEqual([]);
});

test("the report of a run is kept as a file", async ({ page, open, demoRun }) => {
  await demoRun();
  await open();
  await page.getByRole("link", { name: "Runs" }).click();
  await page.getByRole("link", { name: /Demo run/ }).click();
  const { text } = await readPdf((await report(page, "PDF")).bytes);
  for (const said of ["Demo run", "80:", "Control charts", "Set aside", "Cpk"]) expect(text).toContain(said);
});

async function report(page: Page, format: string): Promise<{ name: string; bytes: Buffer }> {
  await page.getByRole("button", { name: "Report" }).click();
  const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("menuitem", { name: format }).click()]);
  return { name: download.suggestedFilename(), bytes: await readFile(await download.path()) };
}

/** Words of all pages, the first page's size in points, and how many pictures the first two pages paint. */
async function readPdf(bytes: Buffer): Promise<{ text: string; size: number[]; pictureCount: number }> {
  const { OPS } = await import("pdfjs-dist/legacy/build/pdf.mjs");
  const document = await getDocument({ data: new Uint8Array(bytes), verbosity: 0 }).promise;
  let text = "";
  let pictureCount = 0;
  for (let i = 1; i <= document.numPages; i++) {
    const sheet = await document.getPage(i);
    text += ` ${(await sheet.getTextContent()).items.map((item) => ("str" in item ? item.str : "")).join(" ")}`;
    pictureCount += (await sheet.getOperatorList()).fnArray.filter((op) => op === OPS.paintImageXObject).length;
  }
  const [, , width, height] = (await document.getPage(1)).view;
  await document.loadingTask.destroy();
  return { text: text.replace(/\s+/g, " "), size: [width, height].map(Math.round), pictureCount };
}
