import type { Job, Mark } from "../job/schema.ts";
import { INKS, type Colour, type InkName } from "./colour.ts";
import { extent, shapeOfMark, type Ink, type InkShape, type Tone } from "./ink.ts";
import { noiseField, type Lattice } from "./noiseField.ts";
import { pathFields } from "./pathField.ts";
import { qrShape } from "./qr.ts";
import type { Random } from "./random.ts";
import { TILE } from "./tile.ts";

/** How a sheet is printed. */
export interface PrintLook {
  /** Board that process ink does not show on: white ink and opaque colours. */
  readonly onBlack: boolean;
  readonly markInk: InkName;
  /** Marks stand out lighter: knocked out of, or printed white on, a dark patch. */
  readonly lightMarks: boolean;
  readonly gain: number;
  readonly rough: number;
  /** Marks that cannot be seen, by id: under tape, or not printed. */
  readonly hidden: ReadonlySet<string>;
  readonly lookAlikes: number;
  /** Letter-like strokes. */
  readonly strokes: number;
  /** Panels in the blanks, with bleed; without, the blanks stay bare. */
  readonly panels: boolean;
}

/** Everything that is printed on a sheet, bottom first: panels with bleed, strokes, look-alikes, then marks and codes in their quiet zones. */
export function artworkOf(job: Job, sheet: string, look: PrintLook, random: Random): Ink[] {
  const lay = look.onBlack ? "opaque" as const : "over" as const;
  const printed = (shape: InkShape, colour: Colour, tone?: Tone): Ink => ({ shape, colour, ...(tone ? { tone } : {}), lay, gain: look.gain, rough: look.rough });
  const inks: Ink[] = [];
  const quiet = [
    ...job.marks.map((m) => ({ x: m.x, y: m.y, r: extent(shapeOfMark(m)) + 3 })),
    ...job.codes.map((c) => ({ x: c.x, y: c.y, r: c.size * 0.9 })),
  ];
  if (look.panels) {
    for (const cut of job.cuts.filter((c) => c.kind === "cut" && !("circle" in c) && c.id !== "window")) {
      inks.push(printed({ kind: "panel", fields: pathFields(cut).filter((f) => f.closed), grow: job.bleed ?? 0 }, INKS.green, picture(random)));
    }
  }
  const free = (x: number, y: number, r: number): boolean => quiet.every((q) => Math.hypot(q.x - x, q.y - y) > q.r + r);
  const at = (): { x: number; y: number } => ({ x: random.between(4, job.sheet.width - 4), y: random.between(4, job.sheet.height - 4) });
  for (let i = 0; i < look.strokes; i++) inks.push(...word(at(), free, random).map((shape) => printed(shape, INKS[random.pick(["black", "brown", "blue", "red"] as const)])));
  for (let i = 0, tries = 0; i < look.lookAlikes && tries < 20 * look.lookAlikes; tries++) {
    const shape = lookAlike(at(), job.marks, random);
    if (!free((shape as { x: number }).x, (shape as { y: number }).y, extent(shape))) continue;
    inks.push(printed(shape, INKS[random.pick(["black", "cyan", "magenta", "red", "green", "blue", "brown"] as const)]));
    i++;
  }
  for (const code of job.codes) {
    const ground: InkShape = { kind: "bar", x: code.x, y: code.y, width: code.size * 1.4, height: code.size * 1.4, angle: 0 };
    inks.push({ shape: ground, colour: INKS.white, lay: look.onBlack ? "opaque" : "bare", gain: 0, rough: 0 });
    inks.push({ ...printed(qrShape(code, job.id, sheet), INKS.black), rough: 0 });
  }
  for (const mark of job.marks) inks.push(...markInks(mark, look, random));
  return inks;
}

function markInks(mark: Mark, look: PrintLook, random: Random): Ink[] {
  const light = look.lightMarks || look.onBlack;
  const shape = shapeOfMark(mark, light);
  const plain = { gain: look.gain, rough: look.rough };
  const patch = (grow: number): InkShape => ({ kind: "bar", x: mark.x, y: mark.y, width: 2 * (extent(shape) + grow), height: 2 * (extent(shape) + grow), angle: 0 });
  const zone: Ink = { shape: { kind: "disc", x: mark.x, y: mark.y, radius: extent(shape) + 2 }, colour: INKS.white, lay: "bare", gain: 0, rough: 0 };
  const ground: Ink[] = light && !look.onBlack ? [{ shape: patch(2), colour: INKS.black, lay: "over", ...plain }] : [];
  const ink: Ink = light ? { shape, colour: INKS.white, lay: look.onBlack ? "opaque" : "bare", ...plain, gain: -look.gain } : { shape, colour: INKS[look.markInk], lay: "over", ...plain };
  if (!look.hidden.has(mark.id)) return [zone, ...ground, ink];
  if (random.chance(0.4)) return [zone];
  const tape: Ink = {
    shape: { kind: "bar", x: mark.x + random.normal(), y: mark.y + random.normal(), width: 2 * extent(shape) + 12, height: 2 * extent(shape) + 8, angle: random.between(0, 3) },
    colour: random.pick([[0.62, 0.5, 0.3], [0.7, 0.7, 0.68], [0.1, 0.2, 0.45]] as const), lay: "opaque", gain: 0, rough: 0.05,
  };
  return [zone, ...ground, ink, tape];
}

/** A photograph-like fill: a slow change of colour, soft forms at three scales and some sharp ones (leaves against the light). */
function picture(random: Random): Tone {
  const field = noiseField(random);
  const [a, b, c] = [INKS[random.pick(["green", "cyan", "brown"] as const)], INKS[random.pick(["yellow", "magenta", "red"] as const)], random.pick([INKS.white, INKS.yellow])];
  const at = random.between(0, 200);
  const [gx, gy] = [random.between(-1, 1) / 300, random.between(-1, 1) / 300];
  const cut = random.between(-0.3, 0.8);
  // Turned lattices at unlike scales: a single one would show its rows and columns.
  const left = (size: number, x0: number, y0: number): Lattice => [0.8 / size, -0.6 / size, x0, 0.6 / size, 0.8 / size, y0];
  const right = (size: number, x0: number, y0: number): Lattice => [0.38 / size, 0.92 / size, x0, 0.92 / size, -0.38 / size, y0];
  const [broad, fine, leaf] = [new Float64Array(TILE.pixels), new Float64Array(TILE.pixels), new Float64Array(TILE.pixels)];
  return (x, y, count, out) => {
    for (let i = 0; i < count; i++) {
      broad[i] = 0.5 + x[i] * gx + y[i] * gy;
      fine[i] = leaf[i] = 0;
    }
    field.add(broad, 0.25, [1 / 45, 0, at, 0, 1 / 45, 0], x, y, count);
    field.add(fine, 0.09, left(9, 0, at), x, y, count);
    field.add(fine, 0.07, right(5.3, 0, 0), x, y, count);
    field.add(fine, 0.04, left(2.1, at, 0), x, y, count);
    field.add(fine, 0.03, right(1.3, 0, at), x, y, count);
    field.add(leaf, 1, [1 / 16, 0, 50, 0, 1 / 23, at], x, y, count);
    for (let i = 0; i < count; i++) {
      const t = Math.max(0, Math.min(1, broad[i] + fine[i]));
      const leafy = 0.7 * Math.max(0, Math.min(1, (leaf[i] - cut) * 6));
      const tint = Math.max(0.15, 0.75 + 2 * fine[i]);
      for (let k = 0; k < 3; k++) {
        const base = a[k] + t * (c[k] - a[k]);
        out[k][i] = Math.max(0.02, Math.min(0.95, (base + leafy * (b[k] - base)) * tint));
      }
    }
  };
}

/** A few letter-like forms of two to five strokes each. */
function word(start: { x: number; y: number }, free: (x: number, y: number, r: number) => boolean, random: Random): InkShape[] {
  const height = random.between(1.5, 9);
  const stroke = height * random.between(0.09, 0.2);
  const angle = random.chance(0.8) ? 0 : Math.PI / 2;
  const shapes: InkShape[] = [];
  for (let letter = 0; letter < random.whole(3, 9); letter++) {
    for (let i = 0; i < random.whole(2, 4); i++) {
      const u = letter * height * 0.8 + random.between(-0.2, 0.2) * height;
      const v = random.between(-0.4, 0.4) * height;
      const x = start.x + u * Math.cos(angle) - v * Math.sin(angle);
      const y = start.y + u * Math.sin(angle) + v * Math.cos(angle);
      const upright = random.chance(0.5);
      const shape: InkShape = random.chance(0.2)
        ? { kind: "ring", x, y, outer: height * 0.3 + stroke, inner: height * 0.3 }
        : { kind: "bar", x, y, width: upright ? stroke : height * 0.5, height: upright ? height : stroke, angle: angle + (random.chance(0.3) ? random.between(-0.6, 0.6) : 0) };
      if (free(x, y, extent(shape))) shapes.push(shape);
    }
  }
  return shapes;
}

/** A form like a mark, of its size or another. */
function lookAlike({ x, y }: { x: number; y: number }, marks: readonly Mark[], random: Random): InkShape {
  const model = shapeOfMark(random.pick(marks));
  const r = extent(model) * (random.chance(0.3) ? 1 : random.between(0.4, 1.8));
  switch (random.pick(["disc", "ring", "bar", "cross", "checker"] as const)) {
    case "disc": return { kind: "disc", x, y, radius: r };
    case "ring": return { kind: "ring", x, y, outer: r, inner: r * random.between(0.4, 0.8) };
    case "bar": return { kind: "bar", x, y, width: 1.4 * r, height: 1.4 * r, angle: random.chance(0.5) ? 0 : random.between(0, 1.5) };
    case "cross": return { kind: "cross", x, y, size: 2 * r, stroke: r * random.between(0.2, 0.5), angle: random.chance(0.5) ? 0 : random.between(0, 1.5) };
    case "checker": return { kind: "checker", x, y, radius: r };
  }
}
