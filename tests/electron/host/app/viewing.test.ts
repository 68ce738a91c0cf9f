import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import path from "node:path";
import sharp from "sharp";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { createApp } from "../../../../electron/host/app/app.ts";
import type { Pyramid } from "../../../../electron/host/app/pyramid.ts";
import { MeasurePool } from "../../../../electron/host/measure/pool.ts";
import { JOB } from "../../../screens/fixture/sheets.ts";
import { HEIGHT, QUARTERS, quarters, quarterSamples, WIDTH } from "../pictures/files.ts";

let folder: string;
const pool = new MeasurePool({ workers: 1 });
let app: ReturnType<typeof createApp>;

beforeAll(async () => {
  folder = await mkdtemp(path.join(tmpdir(), "kerfmark-viewing-"));
  app = createApp({ pool, dataDir: folder, samplesDir: folder, version: "0.0.0-test" });
  await app.request("/api/desk/job", { method: "POST", body: JSON.stringify(JOB) });
});

afterAll(async () => {
  await pool.close();
  await rm(folder, { recursive: true });
});

/** The same four quarters, as each kind of file that a camera, a scanner or a program may give. */
const FILES: Readonly<Record<string, () => Promise<Uint8Array>>> = {
  "sheet.jpg": () => quarters().jpeg({ quality: 95 }).toBuffer(),
  "turned.jpg": () => quarters().rotate(90).withMetadata({ orientation: 8 }).jpeg({ quality: 95 }).toBuffer(),
  "sheet.png": () => quarters().png().toBuffer(),
  "deep.png": () => quarters().toColourspace("rgb16").png().toBuffer(),
  "sheet.tif": () => quarters().tiff({ compression: "lzw" }).toBuffer(),
  "tiled.tif": () => quarters().tiff({ compression: "deflate", tile: true, pyramid: true, tileWidth: 64, tileHeight: 64 }).toBuffer(),
  "press.tif": () => quarters().toColourspace("cmyk").tiff().toBuffer(),
  "sheet.webp": () => quarters().webp({ quality: 95 }).toBuffer(),
  "sheet.avif": () => quarters().avif({ quality: 90 }).toBuffer(),
  "phone.heic": () => readFile(path.join(import.meta.dirname, "../pictures/quarters.heic")),
};

describe("the picture view", () => {
  it.each(Object.keys(FILES))("shows %s upright and in its colours, as tiles and reduced", async (name) => {
    const file = path.join(folder, name);
    await writeFile(file, await FILES[name]());
    const taken = await app.request(`/api/pictures?name=${name}`, { method: "POST", body: new Uint8Array(await readFile(file)) });
    const { picture } = (await taken.json()) as { picture: { id: string } };
    const pyramid = (await (await app.request(`/api/pictures/${picture.id}/pyramid`)).json()) as Pyramid;
    expect([pyramid.width, pyramid.height]).toEqual([WIDTH, HEIGHT]);
    for (const address of [`tiles/${pyramid.levels - 1}/0/0`, "reduced/120"]) {
      const answer = await app.request(`/api/pictures/${picture.id}/${address}`);
      expect(answer.status, address).toBe(200);
      const { data, info } = await sharp(await answer.arrayBuffer()).raw().toBuffer({ resolveWithObject: true });
      expect(info.width / info.height, address).toBeCloseTo(WIDTH / HEIGHT, 1);
      // A press's inks reach fewer colours than a screen's light: there only which quarter is which can be asked.
      const near = name === "press.tif" ? 60 : 12;
      quarterSamples({ ...info, data }).forEach((colour, i) => colour.forEach((value, c) => expect(Math.abs(value - QUARTERS[i][c]), `${address} quarter ${i}`).toBeLessThan(near)));
    }
  });

  it("says what is wrong with a file that is no picture, and keeps working", async () => {
    const taken = await app.request("/api/pictures?name=note.heic", { method: "POST", body: "not a picture at all" });
    const { picture } = (await taken.json()) as { picture: { id: string } };
    const answer = await app.request(`/api/pictures/${picture.id}/pyramid`);
    expect(answer.status).toBe(422);
    expect(await answer.json()).toMatchObject({ fault: { code: "picture-unreadable" } });
  });
});
