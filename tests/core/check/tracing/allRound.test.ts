import sharp from "sharp";
import { expect, it } from "vitest";
import { checkSheet } from "../../../../core/check/check.ts";
import { jobSchema } from "../../../../core/job/schema.ts";

const [W, H, PX] = [900, 600, 3.5];
const MARKS = [[15, 15], [885, 18], [880, 585], [20, 580], [450, 15], [12, 290]] as const;
const job = jobSchema.parse({
  format: "kerfmark.job/1", id: "DISPLAY-4", name: "Counter display", sheet: { width: W, height: H }, cutFrom: "print", flip: "x", state: "in-sheet", tolerance: { position: 0.5 },
  marks: MARKS.map(([x, y], i) => ({ id: `M${i + 1}`, shape: "dot", x, y, diameter: 7 })), cuts: [{ id: "blank", kind: "cut", path: "M 50 50 L 850 50 L 850 550 L 50 550 Z" }],
});

/** A line all round the blank, so far inside of it, mm. */
const round = (inside: number, colour: string): string => `<rect x="${50 + inside}" y="${50 + inside}" width="${800 - 2 * inside}" height="${500 - 2 * inside}" fill="none" stroke="${colour}" stroke-width="0.3"/>`;

async function check(lines: string) {
  const marks = MARKS.map(([x, y]) => `<circle cx="${x}" cy="${H - y}" r="3.5" fill="#181818"/>`).join("");
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${W * PX}" height="${H * PX}" viewBox="0 0 ${W} ${H}"><rect width="${W}" height="${H}" fill="#e8e6e0"/>${marks}${lines}</svg>`;
  const { data, info } = await sharp(Buffer.from(svg)).flatten({ background: "#fff" }).blur(0.9).raw().toBuffer({ resolveWithObject: true });
  return checkSheet({ width: info.width, height: info.height, channels: 3, data: new Uint8Array(data), transfer: "srgb" }, job, { image: "sheet.png" }).record;
}

const SLIT = round(0, "#a09a90");

it("a line printed a millimetre beside all of the cut, plainer than the slit, is not measured as a cut that is too small", async () => {
  const record = await check(SLIT + round(1, "#202020"));
  expect(record.status === "refused" && [record.refusal.code, record.refusal.message]).toEqual(["cuts-not-found", expect.stringContaining("Two lines run along all of the cuts")]);
}, 60_000);

it("one that is farther away leaves the slit to be measured", async () => {
  const record = await check(SLIT + round(2.4, "#202020"));
  if (record.status !== "measured") throw new Error(record.refusal.message);
  expect(record.verdict).toBe("in");
  expect(Math.abs(record.worst.value)).toBeLessThan(0.03);
}, 60_000);

it("a cut that is too small, with nothing where it belongs, is measured as that", async () => {
  const record = await check(round(1, "#202020"));
  if (record.status !== "measured") throw new Error(record.refusal.message);
  expect(record.verdict).toBe("out");
  expect(Math.abs(record.worst.value + 1)).toBeLessThan(0.05);
}, 60_000);
