import sharp from "sharp";
import { flattenCut } from "../../../../core/job/paths.ts";
import type { Job, Mark } from "../../../../core/job/schema.ts";
import { DRAWN } from "./demoRecord.ts";

/**
 * Draws plain sheets that stand in for pictures in the demo run: board, marks and nominal cuts, PNG. A row of squares writes each sheet's number in
 * binary, so that no two sheets are the same picture.
 */
export async function demoPainter(job: Job): Promise<(sheet: number) => Promise<Buffer>> {
  const { pxPerMm: k, margin: m } = DRAWN;
  const { data, info } = await sharp(Buffer.from(svgOf(job))).greyscale().raw().toBuffer({ resolveWithObject: true });
  const bottom = Math.round(k * (m + job.sheet.height - 7));
  return (sheet) => {
    const grey = Buffer.from(data);
    for (let bit = 0; bit < 16; bit++) {
      if (!((sheet >> bit) & 1)) continue;
      for (let y = 0; y < 3 * k; y++) grey.fill(0, (bottom + y) * info.width + k * (m + 30 + 4 * bit), (bottom + y) * info.width + k * (m + 33 + 4 * bit));
    }
    return sharp(grey, { raw: { width: info.width, height: info.height, channels: 1 } }).toColourspace("b-w").png({ compressionLevel: 3 }).toBuffer();
  };
}

function svgOf(job: Job): string {
  const { pxPerMm: k, margin: m } = DRAWN;
  const { width, height } = job.sheet;
  const paths = job.cuts.flatMap((cut) => flattenCut(cut).map(({ points, closed }) =>
    `<path class="${cut.kind}" d="M${points.map((p) => `${p.x.toFixed(2)} ${(height - p.y).toFixed(2)}`).join("L")}${closed ? "Z" : ""}"/>`));
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${k * (width + 2 * m)}" height="${k * (height + 2 * m)}" viewBox="${-m} ${-m} ${width + 2 * m} ${height + 2 * m}">
    <style>.cut,.crease{fill:none;stroke:#888;stroke-width:.5}.crease{stroke-dasharray:4 3}</style>
    <rect x="${-m}" y="${-m}" width="${width + 2 * m}" height="${height + 2 * m}" fill="#555"/><rect width="${width}" height="${height}" fill="#eaeaea"/>
    ${paths.join("")}${job.marks.map((mark) => drawn(mark, height)).join("")}</svg>`;
}

function drawn(mark: Mark, height: number): string {
  const [x, y] = [mark.x, height - mark.y];
  switch (mark.shape) {
    case "dot":
      return `<circle cx="${x}" cy="${y}" r="${mark.diameter / 2}"/>`;
    case "ring":
      return `<circle cx="${x}" cy="${y}" r="${(mark.outer + mark.inner) / 4}" fill="none" stroke="#000" stroke-width="${(mark.outer - mark.inner) / 2}"/>`;
    case "cross":
      return `<path d="M${x - mark.size / 2} ${y}h${mark.size}M${x} ${y - mark.size / 2}v${mark.size}" stroke="#000" stroke-width="${mark.stroke}"/>`;
    case "checker": {
      const r = mark.diameter / 2;
      return `<path d="M${x} ${y}V${y - r}A${r} ${r} 0 0 1 ${x + r} ${y}ZM${x} ${y}V${y + r}A${r} ${r} 0 0 1 ${x - r} ${y}Z"/>`;
    }
    case "square":
      return `<rect x="${x - mark.size / 2}" y="${y - mark.size / 2}" width="${mark.size}" height="${mark.size}"/>`;
  }
}
