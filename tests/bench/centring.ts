/**
 * Prints how near to the Cramer-Rao bound marks are centred, beside a grey centroid, OpenCV's fitEllipse and, for crosses and checkers, the gradient corner that OpenCV's cornerSubPix finds:
 * node tests/bench/centring.ts [--trials 40] [--seed 1] [--shapes dot,ring,cross,checker]
 */
import { inverse, Matrix } from "ml-matrix";
import { parseArgs } from "node:util";
import type { PicturePoint } from "../../core/geometry/frames.ts";
import { samplerOf } from "../../core/image/sampler.ts";
import type { Mark } from "../../core/job/schema.ts";
import type { PlaneMap } from "../../core/marks/localMap.ts";
import { refineMark } from "../../core/marks/refine.ts";
import { loadVision } from "../../electron/host/vision.ts";
import { gaussian, uniform } from "../support/gaussian.ts";
import { drawCoverage, HOLE, STROKE, type Drawn, type ShapeName } from "./parts/centringDrawing.ts";
import { ellipseCentre, gradientCorner, greyCentroid } from "./parts/centringRivals.ts";

const SHAPES: readonly ShapeName[] = ["dot", "ring", "cross", "checker"];
const DIAMETERS = [12, 24, 40, 80];
const BLURS = [0.7, 1, 2];
const NOISES = [0.01, 0.02, 0.05];
const METHODS = ["ours", "centroid", "ellipse", "corner"] as const;
const BOARD = 0.8;
const CONTRAST = 0.6;
/** px per mm of the plane map; the scale has no part in the figures. */
const SCALE = 4;
/** The true centre lies up to this far from the expected one, px. */
const OFF = 1.5;
/** Over so many true centres the bound is averaged. */
const BOUND_PLACES = 2;
/** Above this share of the bound a cell is named. */
const NEAR = 1.3;
/** A mean error above this, px, is named. */
const MOST_BIAS = 0.01;

const { values: options } = parseArgs({ options: { trials: { type: "string", default: "40" }, seed: { type: "string", default: "1" }, shapes: { type: "string", default: SHAPES.join() } } });
const trials = Number(options.trials);
const seed = Number(options.seed);
const wanted = SHAPES.filter((shape) => options.shapes.split(",").includes(shape));
if (!(Number.isInteger(trials) && trials >= 2 && Number.isInteger(seed) && wanted.length === options.shapes.split(",").length)) {
  console.error(`--trials takes a whole number of at least 2, --seed a whole number, --shapes some of ${SHAPES.join()}.`);
  process.exit(3);
}

interface Cell {
  readonly drawn: Drawn;
  readonly noise: number;
  /** Cramer-Rao bounds, px: see `boundVariances`. */
  readonly bound: number;
  readonly fittedBound: number;
  /** Root mean square error per axis over the trials that gave a centre, px; null if none did. */
  readonly rms: Readonly<Record<(typeof METHODS)[number], number | null>>;
  /** Mean error of ours, px, and its standard error. */
  readonly bias: { readonly size: number; readonly sigma: number };
  readonly refused: number;
}

const vision = await loadVision();
const start = performance.now();
heading();
const cells = wanted.flatMap((shape) => DIAMETERS.flatMap((diameter) => BLURS.flatMap((blur) => cellsOf({ shape, diameter, blur }))));
report();

/** The three noise levels of one drawing: they share their true centres, not their noise. */
function cellsOf(drawn: Drawn): Cell[] {
  const side = Math.ceil(drawn.diameter + 2 * (Math.max(3, 2 + 0.06 * drawn.diameter) + 3 * drawn.blur + OFF + 2)) | 1;
  // Seeded by the drawing, so that its figures do not depend on what else is drawn.
  const own = seed * 1_000_003 + SHAPES.indexOf(drawn.shape) * 10_007 + drawn.diameter * 101 + Math.round(10 * drawn.blur);
  const [random, normal] = [uniform(own), gaussian(own + 500_009)];
  const expected = { x: (side - 1) / 2, y: (side - 1) / 2 };
  const errors = NOISES.map(() => ({ ours: [] as number[], centroid: [] as number[], ellipse: [] as number[], corner: [] as number[] }));
  const variance = { known: 0, fitted: 0 };
  for (let t = 0; t < trials; t++) {
    const truth = { x: expected.x + OFF * (2 * random() - 1), y: expected.y + OFF * (2 * random() - 1) };
    const coverage = drawCoverage(drawn, side, truth.x, truth.y);
    // The bound hardly depends on where in its pixel the centre lies: a few places do.
    if (t < BOUND_PLACES) {
      const { known, fitted } = boundVariances(drawn, side, truth);
      variance.known += known / BOUND_PLACES;
      variance.fitted += fitted / BOUND_PLACES;
    }
    for (const [k, noise] of NOISES.entries()) {
      // As a 16-bit linear file holds it, for all methods alike.
      const data = Uint16Array.from(coverage, (c) => Math.round(65535 * Math.min(1, Math.max(0, BOARD - CONTRAST * (c - noise * normal())))));
      const window = { side, light: Float64Array.from(data, (v) => v / 65535), expected };
      const centres = { ours: refined(drawn, side, data, expected), centroid: greyCentroid(window, drawn), ellipse: ellipseCentre(vision, window), corner: gradientCorner(window, drawn) };
      for (const method of METHODS) {
        const at = centres[method];
        if (at) errors[k][method].push(at.x - truth.x, at.y - truth.y);
      }
    }
  }
  const rms = (list: readonly number[]): number | null => (list.length > 0 ? Math.sqrt(list.reduce((s, e) => s + e * e, 0) / list.length) : null);
  const meanOf = (list: readonly number[]): number => list.reduce((s, e) => s + e, 0) / Math.max(1, list.length);
  const biasOf = (list: readonly number[]): Cell["bias"] => ({
    size: Math.hypot(...[0, 1].map((axis) => meanOf(list.filter((_, i) => i % 2 === axis)))), sigma: (rms(list) ?? 0) / Math.sqrt(Math.max(1, list.length / 2)),
  });
  const made = NOISES.map((noise, k) => ({
    drawn, noise, bound: noise * Math.sqrt(variance.known), fittedBound: noise * Math.sqrt(variance.fitted), refused: trials - errors[k].ours.length / 2, bias: biasOf(errors[k].ours),
    rms: { ours: rms(errors[k].ours), centroid: rms(errors[k].centroid), ellipse: rms(errors[k].ellipse), corner: rms(errors[k].corner) },
  }));
  for (const cell of made) console.log(line(cell));
  return made;
}

/**
 * Cramer-Rao bounds of one axis (mean of both), px^2 for noise as large as the contrast, from the true picture's derivatives over the window
 * (central differences): `known` takes all but the centre as known; `fitted` is that of any fit that also finds contrast, board, their slopes
 * across the window, size and blur, as a fit that must stand uneven light does.
 */
function boundVariances(drawn: Drawn, side: number, at: PicturePoint): { known: number; fitted: number } {
  const h = 0.01;
  const slope = (draw: (step: number) => Float64Array): Float64Array => {
    const behind = draw(-h);
    return draw(h).map((v, i) => (v - behind[i]) / (2 * h));
  };
  const coverage = drawCoverage(drawn, side, at.x, at.y);
  const across = coverage.map((_, i) => ((i % side) - side / 2) / side);
  const down = coverage.map((_, i) => (Math.floor(i / side) - side / 2) / side);
  const columns = [
    slope((d) => drawCoverage(drawn, side, at.x + d, at.y)),
    slope((d) => drawCoverage(drawn, side, at.x, at.y + d)),
    slope((d) => drawCoverage({ ...drawn, diameter: drawn.diameter + d }, side, at.x, at.y)),
    slope((d) => drawCoverage({ ...drawn, blur: drawn.blur + d }, side, at.x, at.y)),
    coverage, coverage.map((c, i) => c * across[i]), coverage.map((c, i) => c * down[i]),
    coverage.map(() => 1), across, down,
  ];
  const variance = (terms: readonly Float64Array[]): number => {
    const information = terms.map((a) => terms.map((b) => a.reduce((s, v, i) => s + v * b[i], 0)));
    const covariance = inverse(new Matrix(information));
    return (covariance.get(0, 0) + covariance.get(1, 1)) / 2;
  };
  return { known: variance(columns.slice(0, 2)), fitted: variance(columns) };
}

function refined(drawn: Drawn, side: number, data: Uint16Array, expected: PicturePoint): PicturePoint | null {
  const map: PlaneMap = {
    toPicture: (p) => ({ x: expected.x + p.x * SCALE, y: expected.y - p.y * SCALE }),
    toPrint: (q) => ({ x: (q.x - expected.x) / SCALE, y: (expected.y - q.y) / SCALE }),
  };
  const found = refineMark(samplerOf({ width: side, height: side, channels: 1, data, transfer: "linear" }), markOf(drawn), map, expected);
  return found.ok ? found.at : null;
}

function markOf({ shape, diameter }: Drawn): Mark {
  const place = { id: "M", x: 0, y: 0 };
  const size = diameter / SCALE;
  switch (shape) {
    case "dot":
    case "checker":
      return { ...place, shape, diameter: size };
    case "ring":
      return { ...place, shape, outer: size, inner: HOLE * size };
    case "cross":
      return { ...place, shape, size, stroke: STROKE * size };
  }
}

function heading(): void {
  console.log(`Centring marks: RMS error per axis, px, and its ratio to the Cramer-Rao bound. ${trials} trials a cell (a ratio is good to ${Math.round(100 / Math.sqrt(4 * trials))} %), seed ${seed}.`);
  console.log("The bound takes all but the centre as known. Ours also finds contrast, board, the light's slopes in both, size and blur: the bound of such a");
  console.log("fit, over the bound, is in the column \"fitted\". Centroid and ellipse would lose by uneven light, which is not drawn here.");
  console.log(`OpenCV ${vision.version}, whose build ${vision.refinesCorners ? "has" : "lacks"} cornerSubPix: "corner" is that method, written for this bench.\n`);
  console.log("shape    diam.  blur  noise    bound fitted     ours  ratio  centroid   ratio  ellipse   ratio   corner   ratio  refused");
}

function report(): void {
  console.log("");
  for (const shape of wanted) {
    const mine = cells.filter((c) => c.drawn.shape === shape);
    console.log(`${shape.padEnd(8)} ours / bound ${spread(mine, (c) => c.bound)}; ours / fitted bound ${spread(mine, (c) => c.fittedBound)}; ${mine.length} cells`);
  }
  name(`Above ${NEAR}x the bound`, cells.filter((c) => c.rms.ours === null || c.rms.ours > NEAR * c.bound));
  name(`Above ${NEAR}x the fitted bound`, cells.filter((c) => c.rms.ours === null || c.rms.ours > NEAR * c.fittedBound));
  for (const rival of ["centroid", "ellipse", "corner"] as const) {
    name(`Behind the ${rival}`, cells.filter((c) => c.rms[rival] !== null && (c.rms.ours ?? Infinity) > (c.rms[rival] ?? 0)));
  }
  const most = Math.max(...cells.map((c) => c.bias.size - 2 * c.bias.sigma));
  name(`Bias above ${MOST_BIAS} px by more than twice its standard error (largest ${Math.max(0, most).toFixed(4)} px)`, cells.filter((c) => c.bias.size - 2 * c.bias.sigma > MOST_BIAS));
  name("With refusals", cells.filter((c) => c.refused > 0));
  console.log(`\n${((performance.now() - start) / 1000).toFixed(0)} s`);
}

function spread(some: readonly Cell[], bound: (cell: Cell) => number): string {
  const ratios = some.flatMap((c) => (c.rms.ours === null ? [] : [c.rms.ours / bound(c)])).sort((a, b) => a - b);
  const [min, median, max] = [0, ratios.length >> 1, ratios.length - 1].map((i) => ratios[i]?.toFixed(2) ?? "-");
  return `min ${min}, median ${median}, max ${max}`;
}

function line({ drawn, noise, bound, fittedBound, rms, refused }: Cell): string {
  const figures = METHODS.map((m) => {
    const value = rms[m];
    const [wide, narrow] = m === "ours" ? [8, 6] : [8, 7];
    return value === null ? `${"-".padStart(wide)} ${"-".padStart(narrow)}` : `${value.toFixed(5).padStart(wide)} ${(value / bound).toFixed(2).padStart(narrow)}`;
  });
  const head = `${drawn.shape.padEnd(8)} ${String(drawn.diameter).padStart(5)} ${drawn.blur.toFixed(1).padStart(5)} ${`${100 * noise} %`.padStart(6)} ${bound.toFixed(5).padStart(8)} ${(fittedBound / bound).toFixed(2).padStart(6)}`;
  return `${head} ${figures.join("  ")} ${String(refused).padStart(8)}`;
}

function name(what: string, named: readonly Cell[]): void {
  console.log(`\n${what}: ${named.length} of ${cells.length} cells`);
  for (const { drawn, noise, bound, fittedBound, rms } of named) {
    const ratio = rms.ours === null ? "no centre at all" : `${(rms.ours / bound).toFixed(2)}x the bound, ${(rms.ours / fittedBound).toFixed(2)}x the fitted one`;
    console.log(`  ${drawn.shape} of ${drawn.diameter} px, blur ${drawn.blur} px, noise ${100 * noise} %: ${ratio}`);
  }
}
