import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import fc from "fast-check";
import { PDFDocument } from "pdf-lib";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { readCodes } from "../../../../core/codes/read.ts";
import { samplerOf } from "../../../../core/image/sampler.ts";
import { exportNumbered } from "../../../../core/job/export/numbered.ts";
import { someJob } from "./someJob.ts";

const [job] = fc.sample(someJob, { numRuns: 1, seed: 11 });
const poppler = spawnSync("pdftocairo", ["-v"]).error === undefined;

describe("numbered pages", () => {
  it.skipIf(!poppler)("each page's code, drawn by pdftocairo and read by our own reader, gives its job and number", async () => {
    const made = await exportNumbered(job, { from: 98, count: 4, digits: 4, marks: true });
    if (!made.ok) throw new Error(made.reason);
    const folder = mkdtempSync(join(tmpdir(), "kerfmark-"));
    try {
      writeFileSync(join(folder, "codes.pdf"), made.file);
      execFileSync("pdftocairo", ["-r", "60", "-gray", "-png", join(folder, "codes.pdf"), join(folder, "page")]);
      for (const [i, sheet] of ["0098", "0099", "0100", "0101"].entries()) {
        const { data, info } = await sharp(readFileSync(join(folder, `page-${i + 1}.png`))).greyscale().raw().toBuffer({ resolveWithObject: true });
        const sampler = samplerOf({ width: info.width, height: info.height, channels: 1, data: new Uint8Array(data), transfer: "srgb" });
        const perMm = 60 / 25.4;
        expect(readCodes(sampler, job, (p) => ({ x: p.x * perMm - 0.5, y: (job.sheet.height - p.y) * perMm - 0.5 }))).toEqual({ content: { job: job.id, sheet }, upright: true });
      }
    } finally {
      rmSync(folder, { recursive: true });
    }
  });

  it("hundreds of pages are as many pages, of the sheet's size, in order", async () => {
    let told = 0;
    const made = await exportNumbered(job, { from: 1, count: 300, onPages: (done) => void (told = done) });
    if (!made.ok) throw new Error(made.reason);
    const document = await PDFDocument.load(made.file);
    expect(document.getPageCount()).toBe(300);
    expect(document.getPage(299).getWidth()).toBeCloseTo((job.sheet.width * 72) / 25.4, 3);
    expect(told).toBe(300);
  });

  it("says what it cannot make", async () => {
    expect(await exportNumbered({ ...job, codes: [] }, { from: 1, count: 2 })).toMatchObject({ ok: false, reason: expect.stringContaining("no code") });
    expect(await exportNumbered(job, { from: 1, count: 10_001 })).toMatchObject({ ok: false, hint: expect.stringContaining("10000") });
    expect(await exportNumbered(job, { from: -1, count: 1 })).toMatchObject({ ok: false });
    const long = { ...job, codes: [{ ...job.codes[0], payload: `${"x".repeat(4000)}{sheet}` }] };
    expect(await exportNumbered(long, { from: 1, count: 1 })).toMatchObject({ ok: false, reason: expect.stringContaining("too long") });
  });
});
