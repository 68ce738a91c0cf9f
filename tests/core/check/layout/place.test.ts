import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { checkSheet } from "../../../../core/check/check.ts";
import { rivalsOf } from "../../../../core/check/layout/rankLayouts.ts";
import type { CheckRecord } from "../../../../core/check/record.ts";
import { jobSchema, type Job } from "../../../../core/job/schema.ts";

/** A sheet or piece on a table of which the picture shows so many mm around it. */
interface Scene {
  readonly job: Job;
  readonly around: number;
  readonly pxPerMm: number;
  /** Picture rows per column of the same way on the sheet: a sheet seen a little askew is no flat scan. */
  readonly lower?: number;
  readonly table: string;
  /** What lies on the table, and on it. */
  readonly below?: string;
  readonly body: string;
}

async function check({ job, around: a, pxPerMm, lower = 1, table, below = "", body }: Scene): Promise<CheckRecord> {
  const { sheet: { width: W, height: H }, marks } = job;
  const ink = marks.map((m) => (m.shape === "square" ? `<rect x="${m.x - m.size / 2}" y="${H - m.y - m.size / 2}" width="${m.size}" height="${m.size}" fill="#181818"/>` : `<circle cx="${m.x}" cy="${H - m.y}" r="3" fill="#181818"/>`));
  const [w, h] = [W + 2 * a, H + 2 * a];
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${Math.round(w * pxPerMm)}" height="${Math.round(h * pxPerMm * lower)}" preserveAspectRatio="none" viewBox="${-a} ${-a} ${w} ${h}"><rect x="${-a}" y="${-a}" width="${w}" height="${h}" fill="${table}"/>${below}${body}${ink.join("")}</svg>`;
  const { data, info } = await sharp(Buffer.from(svg)).flatten({ background: "#fff" }).blur(0.8).raw().toBuffer({ resolveWithObject: true });
  return checkSheet({ width: info.width, height: info.height, channels: 3, data: new Uint8Array(data), transfer: "srgb" }, job, { image: "sheet.png" }).record;
}

const outcome = (record: CheckRecord): string => (record.status === "refused" ? record.refusal.code : record.status);

function jobOf(extra: Partial<Record<string, unknown>>): Job {
  return jobSchema.parse({ format: "kerfmark.job/1", id: "TRAY-9", name: "Seed tray", cutFrom: "print", flip: "x", state: "in-sheet", tolerance: { position: 0.5 }, ...extra });
}

describe("a stripped piece whose marks stand together in its middle, small in a large picture", () => {
  const marks = [[90, 150], [160, 150], [125, 80], [125, 130], [100, 125]].map(([x, y], i) => ({ id: `M${i + 1}`, shape: "dot", x, y, diameter: 6 }));
  const job = jobOf({ sheet: { width: 250, height: 250 }, marks, state: "stripped", cuts: [{ id: "blank", kind: "cut", path: "M 40 30 L 215 30 L 215 200 L 40 200 Z" }] });

  it("is found", async () => {
    const body = `<rect x="40.2" y="49.9" width="175" height="170" fill="#f0efe8"/>`;
    const record = await check({ job, around: 120, pxPerMm: 5, table: "#3c4a44", body });
    if (record.status !== "measured") throw new Error(record.refusal.message);
    expect(record.marks.every((m) => m.found)).toBe(true);
    expect(Math.hypot(record.offset.x - 0.2, record.offset.y - 0.1)).toBeLessThan(record.offset.U);
  });
});

describe("a sheet on a table full of what looks like its marks", () => {
  // The golden ratio and its square root spread them evenly.
  const lookAlikes = Array.from({ length: 120 }, (_, i) => {
    const [x, y] = [500 * ((0.5 + (i + 3000) * 0.6180339887) % 1) - 50, 400 * ((0.5 + (i + 3000) * 0.7548776662) % 1) - 50];
    return x > -6 && x < 406 && y > -6 && y < 306 ? "" : `<circle cx="${x}" cy="${y}" r="${2.4 + 1.4 * ((i * 0.5698402910) % 1)}" fill="#202020"/>`;
  }).join("");
  const body = `<rect width="400" height="300" fill="#f0efe8"/><path d="M 60 60 L 340 60 L 340 240 L 60 240 Z" fill="none" stroke="#303030" stroke-width="0.25"/>`;
  const dot = (x: number, y: number) => ({ shape: "dot", x, y, diameter: 6 });
  const square = (x: number, y: number) => ({ shape: "square", x, y, size: 6 });
  const corners = [dot(12, 12), square(388, 12), dot(388, 288), square(12, 288)];
  const see = (kinds: typeof corners) => {
    const marks = kinds.map((mark, i) => ({ ...mark, id: `M${i + 1}` }));
    const job = jobOf({ sheet: { width: 400, height: 300 }, marks, cuts: [{ id: "blank", kind: "cut", path: "M 60 60 L 340 60 L 340 240 L 60 240 Z" }] });
    return check({ job, around: 50, pxPerMm: 4, lower: 0.93, table: "#9ab0a0", below: lookAlikes, body });
  };

  it("is told by one mark off its symmetry, where a finer copy shows that there are few so like it", async () => {
    expect(outcome(await see([...corners, dot(124, 12)]))).toBe("measured");
  });

  it("is not guessed at where it looks the same after a half turn", async () => {
    expect(outcome(await see(corners))).toBe("marks-ambiguous");
    expect(outcome(await see([...corners, dot(124, 12), dot(276, 288)]))).toBe("marks-ambiguous");
  });
});

describe("a layout of five equal marks, four of them in the corners, seen askew", () => {
  const [W, H] = [760, 530];
  const job = jobOf({
    sheet: { width: W, height: H }, cuts: [{ id: "blank", kind: "cut", path: "M 60 60 L 700 60 L 700 470 L 60 470 Z" }],
    marks: [[13.6, 13.8], [745.9, 13.3], [746.9, 515.7], [18.5, 516.6], [15.3, 316.3]].map(([x, y], i) => ({ id: `M${i + 1}`, shape: "dot", x, y, diameter: 6 })),
  });
  /** Picture point of a place on the sheet, px: a camera that leans by some twenty degrees. */
  const see = ([x, y]: readonly [number, number]): string => {
    const w = 1 + 0.00025 * x - 0.0002 * y;
    return `${(300 + 3 * x + 0.4 * y) / w},${(1900 - 3.1 * y + 0.1 * x) / w}`;
  };
  const polygon = (points: readonly (readonly [number, number])[], style: string): string => `<polygon points="${points.map(see).join(" ")}" ${style}/>`;
  const rectangle = (l: number, b: number, r: number, t: number, style: string): string => polygon([[l, b], [r, b], [r, t], [l, t]], style);
  const dot = ({ x, y }: { x: number; y: number }): string => polygon(Array.from({ length: 48 }, (_, k) => [x + 3 * Math.cos((Math.PI * k) / 24), y + 3 * Math.sin((Math.PI * k) / 24)] as const), `fill="#181818"`);

  async function seen(marks: Job["marks"]): Promise<CheckRecord> {
    const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="2700" height="2200"><rect width="2700" height="2200" fill="#5a4030"/>${rectangle(0, 0, W, H, `fill="#c8a070"`)}${
      rectangle(60, 60, 700, 470, `fill="none" stroke="#303030" stroke-width="1"`)}${job.marks.map(dot).join("")}</svg>`;
    const { data, info } = await sharp(Buffer.from(svg)).flatten({ background: "#fff" }).blur(0.8).raw().toBuffer({ resolveWithObject: true });
    return checkSheet({ width: info.width, height: info.height, channels: 3, data: new Uint8Array(data), transfer: "srgb" }, { ...job, marks }, { image: "photo.jpg" }).record;
  }

  it("is found where all are seen, though four of them fit it in other ways", async () => {
    expect(outcome(await seen(job.marks))).toBe("measured");
  });

  it("is ambiguous for a job without the fifth, which alone tells", async () => {
    expect(outcome(await seen(job.marks.slice(0, 4)))).toBe("marks-ambiguous");
  });
});

describe("rival ways of seeing a layout of five marks", () => {
  type View = Parameters<typeof rivalsOf>[0][number];
  const view = (score: number, places: readonly number[]): View => ({ score, flat: 0, seen: places.map((x) => ({ refined: { at: { x, y: 0 } } })) }) as unknown as View;
  const whole = view(9, [100, 200, 300, 400, 500]);

  it("are those that come near; one that explains only some of the patches must come nearer", () => {
    expect(rivalsOf([whole, view(3, [100, 200, 300, 401])], 5)).toEqual([whole]);
    expect(rivalsOf([whole, view(6, [100, 200, 300, 401])], 5).length).toBe(2);
    expect(rivalsOf([whole, view(3, [100, 200, 300, 450])], 5).length).toBe(2);
    expect(rivalsOf([whole, view(1, [100, 200, 300, 450])], 5)).toEqual([whole]);
  });

  it("explain no less where the likeliest does not show every mark of the job either", () => {
    expect(rivalsOf([whole, view(3, [100, 200, 300, 401])], 6).length).toBe(2);
  });
});

describe("a sheet askew whose equal marks stand among hundreds of dots like them", () => {
  const [W, H] = [700, 520];
  // The golden ratio and its square root spread them evenly.
  const spread = (i: number): [number, number] => [W * ((0.5 + i * 0.6180339887) % 1), H * ((0.5 + i * 0.7548776662) % 1)];
  const blank = [[60, 60], [640, 60], [640, 460], [60, 460]] as const;
  const see = (x: number, y: number): [number, number] => {
    const w = 1 + 0.0003 * x - 0.00025 * y;
    return [(300 + 2.9 * x + 0.5 * y) / w, (1900 - 2.8 * y + 0.2 * x) / w];
  };

  async function seen(places: readonly (readonly [number, number])[]): Promise<{ job: Job; record: CheckRecord }> {
    const marks = places.map(([x, y], i) => ({ id: `M${i + 1}`, shape: "dot", x, y, diameter: 6 }));
    const job = jobOf({ sheet: { width: W, height: H }, marks, cuts: [{ id: "blank", kind: "cut", path: `M ${blank.map((p) => p.join(" ")).join(" L ")} Z` }] });
    const dots = [...places, ...Array.from({ length: 260 }, (_, i) => spread(i)).filter(([x, y]) => places.every((m) => Math.hypot(m[0] - x, m[1] - y) > 7))];
    const polygon = (points: readonly (readonly [number, number])[], style: string) => `<polygon points="${points.map(([x, y]) => see(x, y).join()).join(" ")}" ${style}/>`;
    const dot = ([x, y]: readonly [number, number]) => polygon(Array.from({ length: 32 }, (_, k) => [x + 3 * Math.cos((Math.PI * k) / 16), y + 3 * Math.sin((Math.PI * k) / 16)] as const), `fill="#181818"`);
    const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="2600" height="2200"><rect width="2600" height="2200" fill="#44604c"/>${polygon([[0, 0], [W, 0], [W, H], [0, H]], `fill="#d8d2c4"`)}${
      polygon(blank, `fill="none" stroke="#303030" stroke-width="1"`)}${dots.map(dot).join("")}</svg>`;
    const { data, info } = await sharp(Buffer.from(svg)).flatten({ background: "#fff" }).blur(0.8).raw().toBuffer({ resolveWithObject: true });
    return { job, record: checkSheet({ width: info.width, height: info.height, channels: 3, data: new Uint8Array(data), transfer: "srgb" }, job, { image: "photo.jpg" }).record };
  }

  it("is found by the sheet's own corners", async () => {
    const { job, record } = await seen([[18, 14], [684, 14], [687, 503], [18, 506], [241, 505], [122, 505], [15, 157], [475, 505], [577, 505], [604, 15]]);
    if (record.status !== "measured") throw new Error(record.refusal.message);
    expect(record.marks.filter((m) => m.found).length).toBe(job.marks.length);
    for (const [i, m] of record.marks.entries()) {
      const [x, y] = see(job.marks[i].x, job.marks[i].y);
      // Pixel centres are whole numbers, half a pixel from the drawing's own count.
      expect(Math.hypot((m.x ?? 0) + 0.5 - x, (m.y ?? 0) + 0.5 - y)).toBeLessThan(0.5);
    }
  });

  it("is not guessed at by them where it looks the same after a half turn", async () => {
    const half = [[18, 14], [684, 14], [241, 505], [122, 505], [15, 157]] as const;
    const { record } = await seen([...half, ...half.map(([x, y]) => [W - x, H - y] as const)]);
    expect(record.status).toBe("refused");
  });
});
