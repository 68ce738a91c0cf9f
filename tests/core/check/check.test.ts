import { create } from "qrcode";
import sharp from "sharp";
import { beforeAll, describe, expect, it } from "vitest";
import { checkSheet } from "../../../core/check/check.ts";
import type { CheckRecord, Measured } from "../../../core/check/record.ts";
import type { Picture } from "../../../core/image/picture.ts";
import { jobSchema, type Job } from "../../../core/job/schema.ts";

/**
 * Sheets drawn as SVG by a general renderer, so that neither the measuring code nor core/sample has a hand in them. 300 x 200 mm at
 * 6 px/mm; the cut is a dark line of 0.3 mm, moved and turned by a known amount.
 */
const W = 300;
const H = 200;
const PX = 6;

function jobOf(extra: Partial<Record<string, unknown>> = {}): Job {
  return jobSchema.parse({
    format: "kerfmark.job/1", id: "TRAY-7", name: "Seed tray", sheet: { width: W, height: H }, cutFrom: "reverse", flip: "x",
    marks: [[15, 15, "dot"], [285, 18, "ring"], [280, 185, "dot"], [20, 180, "square"], [150, 15, "dot"], [12, 90, "ring"], [288, 120, "square"]].map(([x, y, shape], i) => ({
      id: `M${i + 1}`, x, y, shape, ...(shape === "dot" ? { diameter: 6 } : shape === "ring" ? { outer: 8, inner: 5 } : { size: 6 }),
    })),
    cuts: [{ id: "blank", kind: "cut", path: "M 60 50 L 240 50 L 240 150 L 60 150 Z" }, { id: "W1", kind: "cut", path: "M 90 70 L 130 70 L 130 130 L 90 130 Z" }],
    state: "in-sheet", tolerance: { position: 0.5, offset: 0.4, rotation: 0.8 }, ...extra,
  });
}

interface Drawing {
  readonly job?: Job;
  readonly shift?: readonly [number, number];
  /** Turn of the cut about the sheet's centre, mm/m, counter-clockwise. */
  readonly turn?: number;
  readonly cut?: boolean;
  readonly marks?: boolean;
  readonly blur?: number;
  readonly code?: string;
  readonly px?: number;
  /** White marks on discs of bare kraft, left free in a darker print. */
  readonly onPatches?: boolean;
}

async function draw({ job = jobOf(), shift = [0, 0], turn = 0, cut = true, marks = true, blur = 0.8, code, px = PX, onPatches = false }: Drawing = {}): Promise<Picture> {
  const [ground, colour] = onPatches ? ["#5a3018", "#f6f4ee"] : ["#e8e6e0", "#181818"];
  const ink = !marks ? "" : job.marks.map((m) => {
    const y = H - m.y;
    const patch = onPatches ? `<circle cx="${m.x}" cy="${y}" r="${3.5 + 0.7 * ("size" in m ? m.size : "diameter" in m ? m.diameter * 0.72 : m.outer)}" fill="#b29673"/>` : "";
    if (m.shape === "dot") return `${patch}<circle cx="${m.x}" cy="${y}" r="${m.diameter / 2}" fill="${colour}"/>`;
    if (m.shape === "ring") return `${patch}<circle cx="${m.x}" cy="${y}" r="3.25" fill="none" stroke="${colour}" stroke-width="1.5"/>`;
    const size = m.shape === "square" ? m.size : 6;
    return `${patch}<rect x="${m.x - size / 2}" y="${y - size / 2}" width="${size}" height="${size}" fill="${colour}"/>`;
  }).join("");
  // Picture y runs down: a counter-clockwise turn in the print frame is a negative SVG rotation.
  const degrees = (-turn / 1000) * (180 / Math.PI);
  const lines = job.cuts.map((c) => ("path" in c ? `<path d="${c.path}" transform="translate(0 ${H}) scale(1 -1)"/>` : "")).join("");
  const slit = cut ? `<g transform="translate(${shift[0]} ${-shift[1]}) rotate(${degrees} ${W / 2} ${H / 2})" fill="none" stroke="#202020" stroke-width="0.3">${lines}</g>` : "";
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${W * px}" height="${H * px}" viewBox="0 0 ${W} ${H}"><rect width="300" height="200" fill="${ground}"/>${ink}${slit}${code ? qr(code) : ""}</svg>`;
  const image = sharp(Buffer.from(svg)).flatten({ background: "#fff" });
  const { data, info } = await (blur > 0.3 ? image.blur(blur) : image).raw().toBuffer({ resolveWithObject: true });
  return { width: info.width, height: info.height, channels: info.channels as 3, data: new Uint8Array(data), transfer: "srgb" };
}

/** A QR symbol of 18 mm with its centre at (200, 20) print frame. */
function qr(text: string): string {
  const { modules } = create(text, { errorCorrectionLevel: "M" });
  const m = 18 / modules.size;
  let out = "";
  for (let r = 0; r < modules.size; r++) for (let c = 0; c < modules.size; c++) if (modules.get(r, c)) out += `<rect x="${191 + c * m}" y="${H - 29 + r * m}" width="${m + 0.01}" height="${m + 0.01}" fill="#111"/>`;
  return out;
}

function turned(p: Picture): Picture {
  const data = new Uint8Array(p.data.length);
  for (let y = 0; y < p.height; y++) {
    for (let x = 0; x < p.width; x++) for (let c = 0; c < 3; c++) data[(x * p.height + (p.height - 1 - y)) * 3 + c] = p.data[(y * p.width + x) * 3 + c];
  }
  return { ...p, width: p.height, height: p.width, data };
}

function mirrored(p: Picture): Picture {
  const data = new Uint8Array(p.data.length);
  for (let y = 0; y < p.height; y++) for (let x = 0; x < p.width; x++) for (let c = 0; c < 3; c++) data[(y * p.width + p.width - 1 - x) * 3 + c] = p.data[(y * p.width + x) * 3 + c];
  return { ...p, data };
}

const check = (p: Picture, job = jobOf()): CheckRecord => checkSheet(p, job, { image: "sheet.png" }).record;

function measured(record: CheckRecord): Measured {
  if (record.status !== "measured") throw new Error(record.refusal.message);
  return record;
}

const refusalOf = (record: CheckRecord): string => (record.status === "refused" ? record.refusal.code : `measured: ${record.verdict}`);

describe("a sheet end to end", () => {
  const shift = [0.21, -0.13] as const;
  let picture: Picture;
  let upright: Measured;
  beforeAll(async () => {
    picture = await draw({ shift, turn: 0.6 });
    upright = measured(check(picture));
  });

  it("finds shift and turn of the cut with the contract's signs, within its own U and 0.02 mm", () => {
    expect(Math.hypot(upright.offset.x - shift[0], upright.offset.y - shift[1])).toBeLessThan(Math.max(upright.offset.U, 0.02));
    expect(Math.abs(upright.rotation.value - 0.6)).toBeLessThan(Math.max(upright.rotation.U, 0.1));
    expect(Math.abs(upright.scale.x)).toBeLessThan(0.1);
    expect(Math.abs(upright.view.turn)).toBeLessThan(0.05);
    expect(upright.view.mirrored).toBe(false);
    expect(upright.marks.every((m) => m.found)).toBe(true);
    expect(upright.verdict).toBe("in");
  });

  it("finds a perforation of short dashes whole: what of a dash lies too near to its ends to be looked at is not unseen", async () => {
    const dashes = Array.from({ length: 30 }, (_, k) => `M ${150 + 2.8 * k} 90 h 1.9`).join(" ");
    const job = jobOf({ cuts: [...jobOf().cuts, { id: "perforation", kind: "cut", path: dashes }] });
    const r = measured(check(await draw({ job, shift, turn: 0.6 }), job));
    expect(r.features.find((f) => f.id === "perforation")?.coverage).toBeGreaterThan(0.9);
    expect(r.verdict).toBe("in");
  });

  it("gives the same answer for the picture turned by quarters (0.01 px)", () => {
    let p = picture;
    for (const turn of [-90, 180, 90]) {
      p = turned(p);
      const r = measured(check(p));
      expect(Math.hypot(r.offset.x - upright.offset.x, r.offset.y - upright.offset.y) * PX).toBeLessThan(0.01 * 2);
      expect(Math.abs(((r.view.turn - turn + 540) % 360) - 180)).toBeLessThan(0.05);
    }
  });

  it("says that a mirrored picture is mirrored, and gives the same cut-to-print answer", () => {
    const r = measured(check(mirrored(picture)));
    expect(r.view.mirrored).toBe(true);
    expect(Math.hypot(r.offset.x - upright.offset.x, r.offset.y - upright.offset.y) * PX).toBeLessThan(0.02);
  });

  it("judges a cut beyond the tolerance as out, and corrects it in the cutter's frame", async () => {
    const r = measured(check(await draw({ shift: [0.9, 0] })));
    expect(r.verdict).toBe("out");
    // Cut from the reverse, flipped over x: right on the print is left at the cutter.
    expect(r.correction.x).toBeCloseTo(0.9, 1);
  });

  it("reads job and sheet off the code", async () => {
    const job = jobOf({ codes: [{ symbology: "qr", x: 200, y: 20, size: 18, payload: "job={job};sheet={sheet}" }] });
    expect(check(await draw({ job, code: "job=TRAY-7;sheet=17" }), job)).toMatchObject({ status: "measured", sheet: "17" });
  });
});

describe("marks on patches of their own in a darker print", () => {
  it("are found, the patch being no part of them", async () => {
    const marks = [[15, 15, 5], [285, 18, 8.8], [280, 185, 5.6], [20, 180, 7.7], [150, 15, 5.9], [12, 90, 5.1], [288, 120, 6.8]].map(([x, y, diameter], i) => ({ id: `M${i + 1}`, shape: "dot", x, y, diameter }));
    const job = jobOf({ marks: [...marks, { id: "M8", shape: "square", x: 80, y: 182, size: 13 }] });
    const r = measured(check(await draw({ job, onPatches: true, shift: [0.21, -0.13] }), job));
    expect(r.marks.filter((m) => m.found).length).toBe(8);
    expect(Math.hypot(r.offset.x - 0.21, r.offset.y + 0.13)).toBeLessThan(0.03);
  });
});

describe("refusals", () => {
  it("refuses a bare sheet: marks-not-found", async () => {
    expect(refusalOf(check(await draw({ marks: false, cut: false })))).toBe("marks-not-found");
  });

  it("refuses an uncut sheet: cuts-not-found", async () => {
    expect(refusalOf(check(await draw({ cut: false })))).toBe("cuts-not-found");
  });

  it("refuses a picture blurred beyond use: too-blurred", async () => {
    expect(refusalOf(check(await draw({ blur: 14 })))).toBe("too-blurred");
  });

  it("refuses a thumbnail: resolution-too-low", async () => {
    expect(refusalOf(check(await draw({ px: 0.4 })))).toBe("resolution-too-low");
    // Its marks might be seen, and are not.
    expect(refusalOf(check(await draw({ px: 1, marks: false })))).toBe("resolution-too-low");
    expect(refusalOf(check(await draw({ px: 2, marks: false })))).toBe("marks-not-found");
  });

  it("refuses a layout that looks the same after a half turn: marks-ambiguous; a code breaks the tie", async () => {
    const marks = [[15, 15], [285, 15], [285, 185], [15, 185]].map(([x, y], i) => ({ id: `M${i}`, shape: "dot", x, y, diameter: 6 }));
    expect(refusalOf(check(await draw({ job: jobOf({ marks }) }), jobOf({ marks })))).toBe("marks-ambiguous");
    const coded = jobOf({ marks, codes: [{ symbology: "qr", x: 200, y: 20, size: 18, payload: "job={job};sheet={sheet}" }] });
    expect(refusalOf(check(await draw({ job: coded, code: "job=TRAY-7;sheet=3" }), coded))).toBe("measured: in");
  });

  it("knows four equal marks of a flat scan by their places where those are not symmetric, and no code is needed", async () => {
    const places = (off: number) => [[15, 15], [285 + off, 15 - off], [285 - off, 185 + off], [15 + off, 185]].map(([x, y], i) => ({ id: `M${i}`, shape: "dot", x, y, diameter: 6 }));
    const apart = jobOf({ marks: places(2) });
    expect(refusalOf(check(await draw({ job: apart }), apart))).toBe("measured: in");
    // What print alone may shift is no asymmetry.
    const near = jobOf({ marks: places(0.05) });
    expect(refusalOf(check(await draw({ job: near }), near))).toBe("marks-ambiguous");
  });

  it("centres large marks of a sheet that lies straight in its picture, whose edges run along the pixels", async () => {
    const marks = [[13, 18], [286, 12], [279, 190], [22, 183]].map(([x, y], i) => ({ id: `M${i}`, shape: "square", x, y, size: 14 }));
    const job = jobOf({ marks, codes: [{ symbology: "qr", x: 200, y: 20, size: 18, payload: "job={job};sheet={sheet}" }] });
    const r = measured(check(await draw({ job, code: "job=TRAY-7;sheet=3", shift: [0.2, -0.1], px: 12 }), job));
    const off = r.marks.map(({ x = Infinity, y = Infinity }, i) => Math.max(Math.abs(x - (job.marks[i].x * 12 - 0.5)), Math.abs(y - ((H - job.marks[i].y) * 12 - 0.5))));
    expect(Math.max(...off)).toBeLessThan(0.01);
  });

  it("knows a mirrored picture of a layout that is its own mirror image by a code on its axis, which is legible either way", async () => {
    // The code's middle is at x = 200, and so is the marks'.
    const marks = [[115, 15], [285, 15], [285, 185], [115, 185]].map(([x, y], i) => ({ id: `M${i}`, shape: "dot", x, y, diameter: 6 }));
    const job = jobOf({ marks, codes: [{ symbology: "qr", x: 200, y: 20, size: 18, payload: "job={job};sheet={sheet}" }] });
    const r = measured(check(mirrored(await draw({ job, code: "job=TRAY-7;sheet=3", shift: [0.3, 0.1] })), job));
    expect(r.view.mirrored).toBe(true);
    expect(r.offset.x).toBeCloseTo(0.3, 1);
  });

  it("refuses another job's sheet by its code, with the same marks and with others: wrong-job", async () => {
    const codes = [{ symbology: "qr", x: 200, y: 20, size: 18, payload: "job={job};sheet={sheet}" }];
    const job = jobOf({ codes });
    expect(refusalOf(check(await draw({ job, code: "job=BOX-2;sheet=17" }), job))).toBe("wrong-job");
    const other = jobOf({ codes, marks: [[40, 30], [250, 25], [255, 170], [45, 178], [150, 22]].map(([x, y], i) => ({ id: `M${i}`, shape: "dot", x, y, diameter: 6 })) });
    expect(refusalOf(check(await draw({ job: other, code: "job=BOX-2;sheet=17" }), job))).toBe("wrong-job");
    // The same marks, and neither the code where this job has its own nor any cuts.
    const elsewhere = jobOf({ codes: [{ ...codes[0], x: 100, y: 180 }] });
    expect(refusalOf(check(await draw({ job: elsewhere, code: "job=BOX-2;sheet=17", cut: false }), job))).toBe("wrong-job");
    expect(refusalOf(check(await draw({ job: elsewhere, code: "job=TRAY-7;sheet=17", cut: false }), job))).toBe("cuts-not-found");
  });
});
