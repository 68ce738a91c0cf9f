import { create } from "qrcode";
import sharp from "sharp";
import { beforeAll, describe, expect, it } from "vitest";
import { checkWhichJob } from "../../../core/check/whichJob.ts";
import type { Picture } from "../../../core/image/picture.ts";
import type { Job } from "../../../core/job/schema.ts";
import { drawSheet, JOB } from "../../electron/host/measure/sheet.ts";

/** The sheet's own job with a code, another with its marks elsewhere, and one that differs in its name only. */
const CODE = { symbology: "qr", x: 200, y: 25, size: 18, payload: "job={job};sheet={sheet}" } as const;
const OWN: Job = { ...JOB, codes: [CODE] };
const OTHER: Job = { ...OWN, id: "OTHER-1", marks: JOB.marks.map((m, i) => ({ ...m, x: m.x + (i % 2 ? 9 : -4), y: m.y + (i % 3) * 7 })) };
const TWIN: Job = { ...OWN, id: "TRAY-2" };

let plain: Picture;
let coded: Picture;

async function picture(code?: string): Promise<Picture> {
  const sheet = sharp(await drawSheet().png().toBuffer());
  const drawn = code ? sheet.composite([{ input: Buffer.from(qr(code)), left: Math.round((CODE.x - 12) * 6), top: Math.round((JOB.sheet.height - CODE.y - 12) * 6) }]) : sheet;
  const { data, info } = await drawn.removeAlpha().raw().toBuffer({ resolveWithObject: true });
  return { width: info.width, height: info.height, channels: info.channels as 3, data: new Uint8Array(data), transfer: "srgb" };
}

/** A QR symbol of 18 mm with a quiet zone of 3 mm, 6 px/mm. */
function qr(text: string): string {
  const { modules } = create(text, { errorCorrectionLevel: "M" });
  const m = 18 / modules.size;
  const dark = Array.from({ length: modules.size ** 2 }, (_, i) => [i % modules.size, Math.floor(i / modules.size)]).filter(([c, r]) => modules.get(r, c));
  return `<svg xmlns="http://www.w3.org/2000/svg" width="144" height="144" viewBox="-3 -3 24 24"><rect x="-3" y="-3" width="24" height="24" fill="#f1efe8"/>${dark.map(([c, r]) => `<rect x="${c * m}" y="${r * m}" width="${m + 0.01}" height="${m + 0.01}" fill="#111"/>`).join("")}</svg>`;
}

const told = (shown: Picture, jobs: readonly Job[]) => checkWhichJob(shown, jobs, { image: "sheet.png" }).map(({ job, outcome: { record } }) => `${jobs[job].id} ${record.status === "refused" ? record.refusal.code : `${record.status} ${record.sheet ?? "-"}`}`);

beforeAll(async () => {
  plain = await picture();
  coded = await picture("job=TRAY-1;sheet=12");
});

describe("checkWhichJob", () => {
  it("checks against the job whose layout is there, wherever it stands in the list, and not against the others", () => {
    expect(told(plain, [OTHER, OWN])).toEqual(["TRAY-1 measured -"]);
    expect(told(plain, [OWN, OTHER])).toEqual(["TRAY-1 measured -"]);
  });

  it("checks both of two jobs that a sheet without a code fits", () => {
    expect(told(plain, [OTHER, TWIN, OWN])).toEqual(["TRAY-2 measured -", "TRAY-1 measured -"]);
  });

  it("asks no further once the code was read, and goes past a job that the code is not of", () => {
    expect(told(coded, [OWN, TWIN, OTHER])).toEqual(["TRAY-1 measured 12"]);
    expect(told(coded, [TWIN, OTHER, OWN])).toEqual(["TRAY-1 measured 12"]);
  });

  it("tries all where none is there, and says of a job that is not in the list what the code says", () => {
    expect(told(coded, [TWIN, { ...TWIN, id: "TRAY-3" }])).toEqual(["TRAY-2 wrong-job", "TRAY-3 wrong-job"]);
  });
});
