import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { checkSheet } from "../../../../core/check/check.ts";
import { jobSchema } from "../../../../core/job/schema.ts";

const [W, H] = [300, 200];
const PATHS = ["M 60 50 L 240 50 L 240 150 L 60 150 Z", "M 90 70 L 130 70 L 130 130 L 90 130 Z"];
const MARKS = [[15, 15], [285, 18], [280, 185], [20, 180], [150, 15]] as const;
const job = jobSchema.parse({
  format: "kerfmark.job/1", id: "CARD-3", name: "Counter card", sheet: { width: W, height: H }, cutFrom: "print", flip: "x", state: "in-sheet", tolerance: { position: 0.5 },
  marks: MARKS.map(([x, y], i) => ({ id: `M${i + 1}`, shape: "dot", x, y, diameter: 6 })), cuts: PATHS.map((path, i) => ({ id: `C${i + 1}`, kind: "cut", path })),
});

/** Print as dark as the slits, that hides most of them. */
const HIDING = `<rect x="52" y="42" width="118" height="116" fill="#4a4038"/>`;

/** A sheet with the print; its slits, if it has any, shifted by (0.2, -0.1) mm. `px`: to a mm; `blur`: sigma, px. */
async function check(slits: boolean, print = HIDING, { px, blur } = { px: 8, blur: 0.8 }, of = job) {
  const marks = MARKS.map(([x, y]) => `<circle cx="${x}" cy="${H - y}" r="3" fill="#181818"/>`).join("");
  const lines = slits ? `<g transform="translate(0.2 ${H + 0.1}) scale(1 -1)" fill="none" stroke="#4a4038" stroke-width="0.3">${of.cuts.map((cut) => ("path" in cut ? `<path d="${cut.path}"/>` : "")).join("")}</g>` : "";
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${W * px}" height="${H * px}" viewBox="0 0 ${W} ${H}"><rect width="${W}" height="${H}" fill="#e8e6e0"/>${print}${marks}${lines}</svg>`;
  const { data, info } = await sharp(Buffer.from(svg)).flatten({ background: "#fff" }).blur(blur).raw().toBuffer({ resolveWithObject: true });
  return checkSheet({ width: info.width, height: info.height, channels: 3, data: new Uint8Array(data), transfer: "srgb" }, of, { image: "sheet.png" }).record;
}

describe("a sheet two thirds of whose slits do not show in print that is as dark as they are", () => {
  it("is measured by the third that stands out plainly, and never good, since nobody saw the rest", async () => {
    const record = await check(true);
    if (record.status !== "measured") throw new Error(record.refusal.message);
    expect(Math.hypot(record.offset.x - 0.2, record.offset.y + 0.1)).toBeLessThan(record.offset.U);
    expect(record.verdict).toBe("unsure");
    expect(record.warnings.join(" ")).toContain("unsure at best");
    expect(record.features.find((f) => f.id === "C1")?.coverage).toBeLessThan(0.5);
  });

  it("is refused where it is not cut", async () => {
    const record = await check(false);
    expect(record.status === "refused" && record.refusal.code).toBe("cuts-not-found");
  });
});

describe("print that ends where the cuts belong, much blurred", () => {
  const filled = `<g transform="translate(0.2 ${H + 0.2}) scale(1 -1)" fill="#7fb069">${PATHS.map((d, i) => `<path d="${d}"${i > 0 ? ` fill="#e8e6e0"` : ""}/>`).join("")}</g>`;

  it("is not taken for them", async () => {
    const record = await check(false, filled, { px: 3, blur: 1.5 });
    expect(record.status === "refused" && record.refusal.message).toContain("edges and no slits");
  });
});

describe("cuts that all run one way", () => {
  it("are refused with that reason: nothing tells where along them they lie", async () => {
    const oneWay = { ...job, cuts: [60, 90, 120].map((y, i) => ({ id: `S${i + 1}`, kind: "cut" as const, path: `M -20 ${y} H 320` })) };
    const record = await check(true, "", { px: 8, blur: 0.8 }, oneWay);
    expect(record.status === "refused" && [record.refusal.code, record.refusal.message, record.refusal.hint]).toEqual(["cuts-not-found", expect.stringContaining("all run one way"), expect.stringContaining("witness hole")]);
  });
});
