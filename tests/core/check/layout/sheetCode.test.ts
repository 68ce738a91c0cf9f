import { createRequire } from "node:module";
import { describe, expect, it } from "vitest";
import { sheetOf, sheetUnder } from "../../../../core/check/layout/sheetCode.ts";
import type { Picture } from "../../../../core/image/picture.ts";
import { samplerOf } from "../../../../core/image/sampler.ts";
import type { Job } from "../../../../core/job/schema.ts";
import type { PlaneMap } from "../../../../core/marks/localMap.ts";

const qrcode = createRequire(import.meta.url)("qrcode") as { create(text: string, o: object): { modules: { size: number; get(r: number, c: number): number } } };
const job = { id: "TRAY-7", codes: [{ symbology: "qr", x: 0, y: 0, size: 18, payload: "job={job};sheet={sheet}" }] } as unknown as Job;

/** A picture of one code, 3 px a module, 20 px of quiet zone round it, and the map that shows the code in its middle, shifted by so many mm. */
function pictureOf(text: string): { picture: Picture; map: (shift: number) => PlaneMap } {
  const { modules } = qrcode.create(text, { errorCorrectionLevel: "M" });
  const side = modules.size * 3 + 40;
  const data = new Uint8Array(side * side).fill(230);
  for (let r = 0; r < modules.size * 3; r++) for (let c = 0; c < modules.size * 3; c++) if (modules.get(Math.floor(r / 3), Math.floor(c / 3))) data[(r + 20) * side + c + 20] = 30;
  const [perMm, centre] = [(modules.size * 3) / 18, (side - 1) / 2];
  const map = (shift: number): PlaneMap => ({ toPicture: (p) => ({ x: centre + (p.x + shift) * perMm, y: centre - p.y * perMm }), toPrint: (q) => ({ x: (q.x - centre) / perMm - shift, y: (centre - q.y) / perMm }) });
  return { picture: { width: side, height: side, channels: 1, data, transfer: "srgb" }, map };
}

describe("what the sheet's code says", () => {
  it("is its number, where it is this job's", () => {
    expect(sheetOf({ job: "TRAY-7", sheet: "17" }, job)).toEqual({ sheet: "17" });
    expect(sheetOf({ sheet: "17" }, job)).toEqual({ sheet: "17" });
    expect(sheetOf({ job: "TRAY-7" }, job)).toEqual({ sheet: undefined });
    expect(sheetOf(null, job)).toEqual({ sheet: undefined });
  });

  it("refuses the sheet where it is another job's, or something else than a job's code", () => {
    expect(sheetOf({ job: "TRAY-8", sheet: "17" }, job)).toMatchObject({ refusal: { code: "wrong-job", message: 'The code on the sheet says job "TRAY-8", not "TRAY-7".' } });
    expect(sheetOf({}, job)).toMatchObject({ refusal: { code: "wrong-job", message: expect.stringContaining("something else") } });
  });

  it("is read under the final view, where the rough one lay off too far", () => {
    const { picture, map } = pictureOf("job=TRAY-7;sheet=17");
    expect(sheetUnder(samplerOf(picture), job, map(0), map(12))).toEqual({ sheet: undefined });
    expect(sheetUnder(samplerOf(picture), job, map(12), map(0.2))).toEqual({ sheet: "17" });
    const other = pictureOf("job=TRAY-8;sheet=17");
    expect(sheetUnder(samplerOf(other.picture), job, other.map(12), other.map(0))).toMatchObject({ refusal: { code: "wrong-job" } });
  });

  it("is not looked for again where the final view has it in the same place", () => {
    const { picture, map } = pictureOf("job=TRAY-7;sheet=17");
    let asked = 0;
    const sampler = samplerOf(picture);
    const counting = { ...sampler, line: (...args: Parameters<typeof sampler.line>) => {
      asked++;
      sampler.line(...args);
    } };
    expect(sheetUnder(counting, job, map(0.05), map(0))).toEqual({ sheet: undefined });
    expect(asked).toBe(0);
  });
});
