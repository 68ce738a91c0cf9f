import { createRequire } from "node:module";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { readPayload, writePayload } from "../../../core/job/payload.ts";
import { isMirrorImage } from "../../../core/codes/hand.ts";
import { readCodeAt, searchCodes } from "../../../core/codes/read.ts";
import type { Picture } from "../../../core/image/picture.ts";
import { samplerOf } from "../../../core/image/sampler.ts";

const qrcode = createRequire(import.meta.url)("qrcode") as { create(text: string, o: object): { modules: { size: number; get(r: number, c: number): number } } };

describe("payload patterns", () => {
  it("reads back what it writes, and refuses other texts", () => {
    const pattern = "job={job};sheet={sheet}";
    expect(readPayload(pattern, writePayload(pattern, { job: "TRAY-7", sheet: "17" }))).toEqual({ job: "TRAY-7", sheet: "17" });
    expect(readPayload(pattern, "https://example.org/")).toBeNull();
    expect(readPayload("{job}/{sheet}?", "A+B/3?")).toEqual({ job: "A+B", sheet: "3" });
    expect(readPayload("plain (text)", "plain (text)")).toEqual({});
  });
});

describe("reading a code on the sheet", () => {
  // A real symbol (ISO/IEC 18004, drawn by the qrcode package) at 5 px a module, print y up, 20 px of quiet zone.
  const { modules } = qrcode.create("job=TRAY-7;sheet=17", { errorCorrectionLevel: "M" });
  const side = modules.size * 5 + 40;
  const data = new Uint8Array(side * side).fill(230);
  for (let r = 0; r < modules.size * 5; r++) for (let c = 0; c < modules.size * 5; c++) if (modules.get(Math.floor(r / 5), Math.floor(c / 5))) data[(r + 20) * side + c + 20] = 30;
  const picture: Picture = { width: side, height: side, channels: 1, data, transfer: "srgb" };
  const perMm = (modules.size * 5) / 18;
  const centre = (side - 1) / 2;
  const code = { symbology: "qr" as const, x: 0, y: 0, size: 18, payload: "job={job};sheet={sheet}" };

  it("reads it upright and, through a mirrored view, in a mirrored picture", () => {
    expect(readCodeAt(samplerOf(picture), code, (p) => ({ x: centre + p.x * perMm, y: centre - p.y * perMm }))).toEqual({ content: "job=TRAY-7;sheet=17", upright: true });
    const mirrored = new Uint8Array(side * side);
    for (let y = 0; y < side; y++) for (let x = 0; x < side; x++) mirrored[y * side + x] = data[y * side + side - 1 - x];
    expect(readCodeAt(samplerOf({ ...picture, data: mirrored }), code, (p) => ({ x: centre - p.x * perMm, y: centre - p.y * perMm }))).toEqual({ content: "job=TRAY-7;sheet=17", upright: true });
  });

  it("reads it where blur of half a module melts its modules together, and not where it hides them", async () => {
    const blurred = async (modulesOfBlur: number): Promise<Picture> => {
      const soft = await sharp(data, { raw: { width: side, height: side, channels: 1 } }).blur(5 * modulesOfBlur).greyscale().raw().toBuffer();
      return { ...picture, data: new Uint8Array(soft) };
    };
    const read = async (modulesOfBlur: number) => readCodeAt(samplerOf(await blurred(modulesOfBlur)), code, (p) => ({ x: centre + p.x * perMm, y: centre - p.y * perMm }));
    expect(await read(0.5)).toEqual({ content: "job=TRAY-7;sheet=17", upright: true });
    expect(await read(1.5)).toBeNull();
  });

  it("reads a symbol whose modules are two pixels wide, blurred and saved as JPEG, turned by eight degrees", async () => {
    const text = "job=DISPLAY-2041;sheet=00396";
    const { modules: small } = qrcode.create(text, { errorCorrectionLevel: "M" });
    const wide = (small.size + 12) * 10;
    const fine = new Uint8Array(wide * wide).fill(215);
    for (let r = 0; r < small.size * 10; r++) for (let c = 0; c < small.size * 10; c++) if (small.get(Math.floor(r / 10), Math.floor(c / 10))) fine[(r + 60) * wide + c + 60] = 40;
    const shown = Math.round(0.22 * wide);
    const jpeg = await sharp(fine, { raw: { width: wide, height: wide, channels: 1 } }).rotate(8, { background: "#d7d7d7" }).resize(shown, shown).blur(0.9).jpeg({ quality: 50 }).toBuffer();
    const seen: Picture = { width: shown, height: shown, channels: 1, data: new Uint8Array(await sharp(jpeg).greyscale().raw().toBuffer()), transfer: "srgb" };
    const turn = (8 * Math.PI) / 180;
    const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
    const perMm = (small.size * 10 * shown) / (wide * (cos + sin)) / code.size;
    const at = (shown - 1) / 2;
    expect(readCodeAt(samplerOf(seen), code, ({ x, y }) => ({ x: at + (cos * x + sin * y) * perMm, y: at + (sin * x - cos * y) * perMm }))).toEqual({ content: text, upright: true });
  });

  it("reads it in all of the eight ways to lay its square, and says which is upright", () => {
    const read = (a: number, b: number, c: number, d: number) => readCodeAt(samplerOf(picture), code, (p) => ({ x: centre + (a * p.x + b * p.y) * perMm, y: centre + (c * p.x + d * p.y) * perMm }));
    expect(read(1, 0, 0, -1)).toEqual({ content: "job=TRAY-7;sheet=17", upright: true });
    for (const [a, b, c, d] of [[-1, 0, 0, 1], [0, 1, 1, 0], [0, -1, -1, 0], [1, 0, 0, 1], [-1, 0, 0, -1], [0, -1, 1, 0], [0, 1, -1, 0]]) expect(read(a, b, c, d)).toEqual({ content: "job=TRAY-7;sheet=17", upright: false });
  });

  it("tells by their format information which symbols are mirror-imaged: every mask, every level", () => {
    for (const errorCorrectionLevel of ["L", "M", "Q", "H"]) for (let maskPattern = 0; maskPattern < 8; maskPattern++) {
      const symbol = qrcode.create("sheet=3", { errorCorrectionLevel, maskPattern }).modules;
      const n = symbol.size;
      const seen = (column: (x: number, y: number) => number): boolean => {
        const data = new Uint8Array(n * n).map((_, i) => (column(i % n, Math.floor(i / n)) ? 40 : 200));
        return isMirrorImage({ width: n, height: n, data }, { topLeftCorner: { x: 0, y: 0 }, topRightCorner: { x: n, y: 0 }, bottomLeftCorner: { x: 0, y: n }, bottomRightCorner: { x: n, y: n } }, (n - 17) / 4);
      };
      expect([seen((x, y) => symbol.get(y, x)), seen((x, y) => symbol.get(x, y)), seen((x, y) => 1 - symbol.get(y, x))]).toEqual([false, true, false]);
    }
  });

  it("finds it anywhere, and says which of its corners is which in a mirrored picture too", () => {
    const across = (p: Picture, flip: boolean) => searchCodes({ ...p, data: new Uint8Array(p.data.length).map((_, i) => p.data[flip ? i - (i % side) + side - 1 - (i % side) : i]) }, { codes: [code] }, 90)?.corners.map((c) => [Math.sign(c.print.x) * Math.sign(c.picture.x - centre), Math.sign(c.print.y) * Math.sign(centre - c.picture.y)]);
    expect(across(picture, false)).toEqual(Array.from({ length: 4 }, () => [1, 1]));
    expect(across(picture, true)).toEqual(Array.from({ length: 4 }, () => [-1, 1]));
  });

  it("finds a small one whose modules blur melts together, turned, in a large picture among print, to about a module", async () => {
    const text = "job=DISPLAY-2041;sheet=00396";
    const { modules: small } = qrcode.create(text, { errorCorrectionLevel: "M" });
    const wide = small.size * 10;
    const fine = new Uint8Array(wide * wide).fill(225);
    for (let r = 0; r < wide; r++) for (let c = 0; c < wide; c++) if (small.get(Math.floor(r / 10), Math.floor(c / 10))) fine[r * wide + c] = 40;
    const shown = Math.round(2.5 * small.size);
    const symbol = await sharp(fine, { raw: { width: wide, height: wide, channels: 1 } }).resize(shown, shown).rotate(35, { background: "#e1e1e1" }).png().toBuffer({ resolveWithObject: true });
    const [left, top] = [1370, 610];
    const lines = Array.from({ length: 30 }, (_, i) => `<text x="${80 + 40 * (i % 3)}" y="${60 + 40 * i}" font-size="22" font-family="sans-serif">Sow thinly, cover, keep moist until the seedlings show</text>`).join("");
    const print = Buffer.from(`<svg xmlns="http://www.w3.org/2000/svg" width="2000" height="1300"><rect width="2000" height="1300" fill="#e1e1e1"/>${lines}</svg>`);
    const jpeg = await sharp(print).composite([{ input: symbol.data, left, top }]).blur(0.9).jpeg({ quality: 80 }).toBuffer();
    const seen: Picture = { width: 2000, height: 1300, channels: 1, data: new Uint8Array(await sharp(jpeg).greyscale().raw().toBuffer()), transfer: "srgb" };
    // Of a sheet that fills half of the picture only, codes are expected twice as large.
    const found = searchCodes(seen, { codes: [code] }, 250);
    expect(found?.payload).toEqual({ job: "DISPLAY-2041", sheet: "00396" });
    const turn = (35 * Math.PI) / 180;
    for (const { print: { x, y }, picture: at } of found?.corners ?? []) {
      const [u, v] = [(x / code.size) * shown, (-y / code.size) * shown];
      expect(Math.hypot(at.x - (left + symbol.info.width / 2 - 0.5 + Math.cos(turn) * u - Math.sin(turn) * v), at.y - (top + symbol.info.height / 2 - 0.5 + Math.sin(turn) * u + Math.cos(turn) * v))).toBeLessThan(3);
    }
  });

  it("reads nothing where the view points elsewhere", () => {
    expect(readCodeAt(samplerOf(picture), code, (p) => ({ x: 10 + p.x, y: 10 - p.y }))).toBeNull();
  });
});
