import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import sharp from "sharp";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { type Profile, profileSchema } from "../../../../core/camera/profile.ts";
import { SCANNER_PARAMETERS } from "../../../../core/camera/scanner.ts";
import type { Job } from "../../../../core/job/schema.ts";
import type { CheckOutcome } from "../../../../core/check/record.ts";
import { MeasurePool } from "../../../../electron/host/measure/pool.ts";
import { drawSheet, JOB } from "./sheet.ts";

let folder: string;
let pool: MeasurePool;
let good: Buffer;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "pool-"));
  pool = new MeasurePool({ workers: 2 });
  good = await drawSheet().jpeg({ quality: 92 }).toBuffer();
  await writeFile(join(folder, "good.jpg"), good);
  await writeFile(join(folder, "short.jpg"), good.subarray(0, good.length / 2));
  await writeFile(join(folder, "text.jpg"), "no picture");
});

afterAll(async () => {
  await pool.close();
  await rm(folder, { recursive: true });
});

describe("the pool", () => {
  it("keeps the order, and a broken picture spoils no other", async () => {
    const names = ["good.jpg", "short.jpg", "good.jpg", "text.jpg", "good.jpg"];
    const progress: number[] = [];
    const requests = names.map((name) => ({ image: join(folder, name), name, job: JOB }));
    const outcomes: CheckOutcome[] = [];
    for await (const outcome of pool.checkAll(requests, (done) => progress.push(done))) outcomes.push(outcome);
    expect(outcomes.map((o) => o.record.image)).toEqual(names);
    expect(outcomes.map((o) => o.record.status)).toEqual(["measured", "refused", "measured", "refused", "measured"]);
    expect(outcomes.map((o) => (o.record.status === "refused" ? o.record.refusal.code : ""))).toEqual(["", "image-unreadable", "", "image-unreadable", ""]);
    expect(progress).toEqual([1, 2, 3, 4, 5]);
  });

  it("measures bytes as it measures the file", async () => {
    const [a, b] = [await pool.check({ image: good, name: "x", job: JOB }), await pool.check({ image: join(folder, "good.jpg"), name: "x", job: JOB })];
    expect(a).toEqual(b);
    expect(good.length).toBeGreaterThan(0);
  });

  it("names the profile that a measurement rests on, and none where none was used", async () => {
    const { width = 0, height = 0 } = await sharp(good).metadata();
    const profile = profileSchema.parse({
      format: "kerfmark.camera/1", kind: "scanner", name: "Office scanner", date: "2026-01-05", exif: {}, picture: { width, height }, target: "dots", pictures: 2, points: 200, rms: 0.05,
      residuals: { columns: 1, rows: 1, dx: [0], dy: [0], count: [200] }, verdict: { grade: "good", findings: [] },
      pxPerMm: { x: 6, y: 6 }, squareness: 0, bow: { x: 0, y: 0 }, run: { x: 0, y: 0 }, covariance: SCANNER_PARAMETERS.map(() => SCANNER_PARAMETERS.map(() => 0)),
    });
    const lensOf = async (given?: Profile) => {
      const { record } = await pool.check({ image: good, name: "x", job: JOB, profile: given });
      return record.status === "measured" ? record.view.lens : null;
    };
    expect(await lensOf(profile)).toMatchObject({ source: "profile", profile: "Office scanner, 2026-01-05" });
    expect((await lensOf())?.profile).toBeUndefined();
  });

  it("turns a failure inside the program into a refusal with its reason, and goes on", async () => {
    const broken = { id: "BROKEN" } as Job;
    const { record } = await pool.check({ image: good, name: "x", job: broken });
    expect(record).toMatchObject({ status: "refused", job: "BROKEN", verdict: null });
    expect(record.status === "refused" && record.refusal.message).toMatch(/inside the program: .+\./);
    expect((await pool.check({ image: good, name: "x", job: JOB })).record.status).toBe("measured");
  });

  it("stops at once when told, and goes on afterwards", async () => {
    const stop = new AbortController();
    const running = Array.from({ length: 6 }, () => pool.check({ image: good, name: "x", job: JOB, signal: stop.signal }));
    setTimeout(() => stop.abort(), 20);
    const results = await Promise.allSettled(running);
    expect(results.at(-1)).toMatchObject({ status: "rejected", reason: { name: "AbortError" } });
    expect((await pool.check({ image: good, name: "x", job: JOB })).record.status).toBe("measured");
  });

  it("refuses what is above its cap", async () => {
    const small = new MeasurePool({ workers: 1, maxPixels: 1e6 });
    try {
      const { record } = await small.check({ image: good, name: "x", job: JOB });
      expect(record.status === "refused" && record.refusal.code).toBe("image-too-large");
    } finally {
      await small.close();
    }
  });
});
