import sharp from "sharp";
import { expect, test } from "vitest";
import { checkSheet } from "../../../core/check/check.ts";
import type { Picture } from "../../../core/image/picture.ts";
import { jobSchema } from "../../../core/job/schema.ts";
import { randomOf } from "../../../core/sample/random.ts";

/** A sheet of 300 x 200 mm at 5 px/mm, drawn as SVG by a general renderer: two pieces in print of one colour, each slit with its lips as light as that print in the planes where the print is lightest. */
const [W, H, PX] = [300, 200, 5];
const SHIFT = [0.14, -0.12] as const;
const job = jobSchema.parse({
  format: "kerfmark.job/1", id: "TRAY-7", name: "Seed tray", sheet: { width: W, height: H },
  marks: [[15, 15], [285, 18], [280, 185], [20, 180], [150, 15], [12, 90], [288, 120]].map(([x, y], i) => ({ id: `M${i + 1}`, x, y, shape: "dot", diameter: 6 })),
  cuts: [{ id: "left", kind: "cut", path: "M 40 40 L 140 40 L 140 160 L 40 160 Z" }, { id: "right", kind: "cut", path: "M 160 40 L 260 40 L 260 160 L 160 160 Z" }],
  state: "in-sheet", tolerance: { position: 0.5, offset: 0.4, rotation: 0.8 },
});

/** @param print the colour of the print, red, green and blue of 255. */
async function drawn(print: readonly [number, number, number]): Promise<Picture> {
  const most = Math.max(...print);
  const marks = job.marks.map((m) => `<circle cx="${m.x}" cy="${H - m.y}" r="3" fill="#181818"/>`).join("");
  const cuts = job.cuts.map((c) => ("path" in c ? `<path d="${c.path}"/>` : "")).join("");
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${W * PX}" height="${H * PX}" viewBox="0 0 ${W} ${H}"><rect width="300" height="200" fill="#e8e8e8"/><rect x="30" y="30" width="240" height="140" fill="rgb(${print.join()})"/>${marks}`
    + `<g transform="translate(${SHIFT[0]} ${H - SHIFT[1]}) scale(1 -1)" fill="none" stroke="rgb(${most},${most},${most})" stroke-width="0.4">${cuts}</g></svg>`;
  const { data, info } = await sharp(Buffer.from(svg)).flatten({ background: "#fff" }).blur(1).raw().toBuffer({ resolveWithObject: true });
  // A texture of light alone, and each plane's own noise.
  const random = randomOf(5);
  const noisy = Uint8Array.from(data);
  for (let k = 0; k < noisy.length; k += 3) {
    const light = 1 + 0.05 * random.normal();
    for (let c = 0; c < 3; c++) noisy[k + c] = Math.max(0, Math.min(255, Math.round(data[k + c] * light + 1.5 * random.normal())));
  }
  return { width: info.width, height: info.height, channels: 3, data: noisy, transfer: "srgb" };
}

test("a slit that is no darker with its lips than the print beside it is found by the print's colour, which it interrupts", async () => {
  const { record } = checkSheet(await drawn([150, 150, 70]), job, { image: "in colour" });
  expect(record).toMatchObject({ status: "measured", verdict: "in" });
  if (record.status !== "measured") return;
  expect(Math.abs(record.offset.x - SHIFT[0])).toBeLessThan(Math.min(0.06, record.offset.U));
  expect(Math.abs(record.offset.y - SHIFT[1])).toBeLessThan(Math.min(0.06, record.offset.U));
});

test("in print without a colour of its own such a slit is not found", async () => {
  const { record } = checkSheet(await drawn([110, 110, 110]), job, { image: "in grey" });
  expect(record).toMatchObject({ status: "refused", refusal: { code: "cuts-not-found" } });
});
