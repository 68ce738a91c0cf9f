import { execFileSync, spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { degrees, PDFDocument } from "pdf-lib";
import { afterAll, describe, expect, it } from "vitest";
import { readDxf } from "../../../../core/job/import/dxf.ts";
import type { ReadDrawing } from "../../../../core/job/import/drawing.ts";
import { readPdf } from "../../../../core/job/import/pdf.ts";
import { readSvg } from "../../../../core/job/import/svg.ts";
import { openChromium, pointsByChromium } from "./chromium.ts";
import { farthest, linesOf, type Line } from "./distance.ts";

/** Issue's limit, mm. */
const AGREES = 0.005;
const folder = mkdtempSync(join(tmpdir(), "kerfmark-"));
afterAll(() => rmSync(folder, { recursive: true }));

const drawn = (read: ReadDrawing) => {
  if (!read.ok) throw new Error(read.reason);
  return read.drawing;
};
const python = ["python3", "/usr/bin/python3"].find((p) => spawnSync(p, ["-c", "import ezdxf"]).status === 0);
const browser = ["/usr/bin/chromium"].find((p) => existsSync(p));
const poppler = spawnSync("pdftocairo", ["-v"]).error === undefined;

describe("an independent reading of the same file agrees to 0.005 mm", () => {
  it.skipIf(!python)("DXF: python3-ezdxf's flattening", () => {
    const file = join(folder, "trays.dxf");
    const script = new URL("flattened.py", import.meta.url).pathname;
    const reference = JSON.parse(execFileSync(python ?? "", [script, file], { encoding: "utf8" })) as Line[];
    const ours = linesOf(drawn(readDxf(readFileSync(file, "utf8"))));
    expect(ours).toHaveLength(reference.length);
    expect(farthest(reference, ours)).toBeLessThan(AGREES);
    expect(farthest(ours, reference)).toBeLessThan(AGREES);
  });

  it.skipIf(!browser)("SVG: Chromium's getPointAtLength and getScreenCTM", async () => {
    // Chromium draws arcs as quarter-turn cubics, 2.7e-4 of the radius off, and lays boxes out in 1/64 px: the radii and the size in
    // whole pixels keep its own error below the limit.
    const source = `<svg xmlns="http://www.w3.org/2000/svg" width="317.5mm" height="190.5mm" viewBox="-10 -20 640 400" fill="none" stroke="red">
      <g id="cut" transform="translate(20 30) rotate(10) skewX(8)">
        <path d="M10 10 h 50 a 20 30 20 0 1 30 40 q 10 30 -40 20 t -30 5 c 5 5 -40 -20 -20 -40 s 3 -9 10 -25 z m 5 5 l 3 3"/>
        <rect x="100" y="10" width="60" height="40" rx="8"/><rect x="100" y="80" width="60" height="40" rx="50" ry="9"/>
        <circle cx="240" cy="60" r="33"/><ellipse cx="240" cy="160" rx="60" ry="21" transform="matrix(.9 .2 -.3 1.1 4 5)"/>
      </g>
      <g transform="scale(.7 -1.2) translate(3 -300)"><polyline points="300,10 330,50 340,20"/><polygon points="400,10 430,50 440,20"/><line x1="3" y1="200" x2="60" y2="270"/>
      <path d="M300 200A20 10 33 1 0 320 220A5 5 0 0 1 312 240"/></g></svg>`;
    const chrome = await openChromium(browser ?? "");
    try {
      const seen = await pointsByChromium(chrome, source, 80);
      const points = seen.map(([x, y]) => [[(x * 25.4) / 96, 190.5 - (y * 25.4) / 96] as const]);
      const ours = linesOf(drawn(readSvg(source)));
      expect(points).toHaveLength(9 * 80);
      expect(farthest(points, ours)).toBeLessThan(AGREES);
    } finally {
      await chrome.close();
    }
  });

  it.skipIf(!poppler).each([0, 90, 180, 270])("PDF turned by %i degrees: pdftocairo's SVG", async (turn) => {
    const document = await PDFDocument.create();
    const page = document.addPage([600, 400]);
    page.setMediaBox(-20, -30, 600, 400);
    page.setRotation(degrees(turn));
    page.drawSvgPath("M10 10 h 50 a 20 30 20 0 1 30 40 q 10 30 -40 20 c 5 5 -40 -20 -20 -40 z", { x: 100, y: 300, scale: 1.7, borderWidth: 1 });
    page.drawRectangle({ x: 200, y: 60, width: 100, height: 70, rotate: degrees(13), borderWidth: 1, borderColor: undefined, opacity: 1 });
    page.drawEllipse({ x: 400, y: 200, xScale: 60, yScale: 33, rotate: degrees(40), borderWidth: 1 });
    page.drawLine({ start: { x: 5, y: 5 }, end: { x: 500, y: 90 } });
    const file = join(folder, `page${turn}.pdf`);
    writeFileSync(file, await document.save());
    execFileSync("pdftocairo", ["-svg", file, `${file}.svg`]);
    const theirs = linesOf(drawn(readSvg(readFileSync(`${file}.svg`, "utf8"))));
    const ours = linesOf(drawn(await readPdf(readFileSync(file))));
    expect(ours.length).toBeGreaterThanOrEqual(4);
    expect(farthest(theirs, ours)).toBeLessThan(AGREES);
    expect(farthest(ours, theirs)).toBeLessThan(AGREES);
  });
});
