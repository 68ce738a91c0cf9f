import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { checkSheet } from "../../../../core/check/check.ts";
import type { Measured } from "../../../../core/check/record.ts";
import type { Job } from "../../../../core/job/schema.ts";
import { randomOf } from "../../../../core/sample/random.ts";
import { JOB } from "./sheet.ts";

/** Six pieces on the sheet of `sheet.ts`: x, y, width and height, mm. The fifth is the one that moves. */
const PIECES = [[40, 40, 60, 50], [115, 40, 55, 50], [190, 40, 65, 50], [40, 115, 60, 55], [115, 115, 55, 55], [190, 115, 65, 55]] as const;
const MOVES = 4;
/** By how much all slits lie right of the print and above it, mm. */
const COMMON = [0.15, -0.1] as const;
const LIMIT = 0.4;

const outlineOf = ([x, y, width, height]: (typeof PIECES)[number]): string => `M ${x} ${y} L ${x + width} ${y} L ${x + width} ${y + height} L ${x} ${y + height} Z`;
const job: Job = { ...JOB, cuts: PIECES.map((piece, i) => ({ id: `P${i + 1}`, kind: "cut", path: outlineOf(piece) })), tolerance: { position: LIMIT } };

const random = randomOf(7);
/** As many grey levels as have no period that the picture's rows share. */
const NOISE = Int8Array.from({ length: 9973 }, () => Math.round(4 * random.normal()));

type Way = readonly [right: number, up: number];

interface Drawing {
  readonly slit?: string;
  /** By how much the slit of P5 lies off from the others, mm. */
  readonly moved?: Way;
  /** A line printed all around P5, by how much it lies off from where its slit has to be, mm. */
  readonly printed?: { readonly by: Way; readonly colour: string };
}

/** A flat scan of 6 px/mm of white board, with noise. */
async function measure({ slit = "#a0a0a0", moved = [0, 0], printed }: Drawing): Promise<Measured> {
  const { width, height } = job.sheet;
  const marks = job.marks.map(({ x, y }) => `<circle cx="${x}" cy="${height - y}" r="3" fill="#181818"/>`);
  const line = (piece: number, [right, up]: Way, colour: string): string =>
    `<path d="${outlineOf(PIECES[piece])}" transform="translate(${COMMON[0] + right} ${height - COMMON[1] - up}) scale(1 -1)" fill="none" stroke="${colour}" stroke-width="0.16"/>`;
  const lines = [...(printed ? [line(MOVES, printed.by, printed.colour)] : []), ...PIECES.map((_, i) => line(i, i === MOVES ? moved : [0, 0], slit))];
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${6 * width}" height="${6 * height}" viewBox="0 0 ${width} ${height}"><rect width="100%" height="100%" fill="#efeeea"/>${marks.join("")}${lines.join("")}</svg>`;
  const { data, info } = await sharp(Buffer.from(svg)).flatten({ background: "#ffffff" }).blur(0.7).raw().toBuffer({ resolveWithObject: true });
  for (let i = 0; i < data.length; i++) data[i] = Math.min(255, data[i] + NOISE[i % NOISE.length]);
  const { record } = checkSheet({ width: info.width, height: info.height, channels: 3, data: new Uint8Array(data), transfer: "srgb" }, job, { image: "sheet.png" });
  if (record.status !== "measured") throw new Error(record.refusal.message);
  return record;
}

const WARNING = '"P5" lies off from what the other cuts agree on: it may have moved while it was cut.';

/** What the record of a sheet has to say on which only P5 moved. */
function expectFound({ worst, verdict, warnings, offset, features }: Measured, [right, up]: Way): void {
  expect(worst.feature).toBe("P5");
  const truth = Math.max(Math.abs(COMMON[0] + right), Math.abs(COMMON[1] + up));
  expect(Math.abs(Math.abs(worst.value) - truth)).toBeLessThan(Math.max(worst.U, 0.02));
  expect(worst.U).toBeLessThan(0.05);
  expect(verdict).toBe("out");
  expect(warnings).toContain(WARNING);
  expect(Math.hypot(offset.x - COMMON[0], offset.y - COMMON[1])).toBeLessThan(offset.U);
  for (const { id, max, U, coverage } of features) {
    expect(coverage).toBeGreaterThan(0.9);
    if (id !== "P5") expect(Math.abs(Math.abs(max) - COMMON[0])).toBeLessThan(U);
  }
}

describe("a piece that moved while it was cut", () => {
  const isFound = async (right: number, up: number, slit: string): Promise<void> => expectFound(await measure({ moved: [right, up], slit }), [right, up]);

  it.each([[0.31, 0.26, "#a0a0a0"], [0.6, -0.5, "#2a2a2a"]])("is the worst place, and the others' offset stays what it is: moved by %f, %f mm, slits %s", isFound);

  it.each([[0.4, 0, "#a0a0a0"], [0.8, 0, "#2a2a2a"], [1.5, 0, "#a0a0a0"], [0.61, 0.51, "#a0a0a0"], [1.15, 0.96, "#a0a0a0"], [-2.2, 1.5, "#2a2a2a"]])("is so however it moved: by %f, %f mm, slits %s", isFound);
});

describe("a printed line all around a piece, beside the slit", () => {
  async function doesNotMove(by: number, colour: string): Promise<void> {
    const { verdict, warnings, features, offset } = await measure({ printed: { by: [0.766 * by, 0.643 * by], colour } });
    expect(verdict).toBe("in");
    expect(warnings).not.toContain(WARNING);
    const { max, U, coverage } = features[MOVES];
    expect(Math.abs(Math.abs(max) - COMMON[0])).toBeLessThan(U);
    expect(coverage).toBeGreaterThan(0.9);
    expect(Math.hypot(offset.x - COMMON[0], offset.y - COMMON[1])).toBeLessThan(offset.U);
  }

  it.each([[0.4, "#ffffff"], [0.8, "#ffffff"], [1.5, "#ffffff"], [0.8, "#c8c8c8"], [1.5, "#a0a0a0"], [1.5, "#606060"]])("does not make it one that moved: %f mm, %s", doesNotMove);

  it("does not do so either where it is darker than slits are", () => doesNotMove(0.8, "#606060"));
});
