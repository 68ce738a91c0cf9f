import type { RefusalCode } from "../check/record.ts";
import type { Job } from "../job/schema.ts";
import { artworkOf, type PrintLook } from "./artwork.ts";
import { coded, type Colour } from "./colour.ts";
import type { CameraSetup, ScannerSetup } from "./imaging.ts";
import { makeJob, type JobWish } from "./jobs.ts";
import type { LayerMap } from "./layerMap.ts";
import { randomOf, seedOf, type Random } from "./random.ts";
import type { BoardLook, CuttingLook, LightLook, Scene, SensorLook, TableLook } from "./scene.ts";

export const ROWS = ["scan", "photo", "lens", "clutter", "hard", "refusal"] as const;
export type Row = (typeof ROWS)[number];

/** How a picture is kept. */
export type Encoding = { readonly format: "jpeg"; readonly quality: number } | { readonly format: "tiff" | "png" };

/** One picture of a benchmark. */
export interface Trial {
  readonly scene: Scene;
  /** The job to check against; another than the scene's where the wrong job is the point. */
  readonly job: Job;
  readonly encoding: Encoding;
  /** Why it must be refused: any of these codes fits; null: it can be measured. */
  readonly refusal: readonly RefusalCode[] | null;
  readonly note: string;
}

const SMALL: readonly (readonly [number, number])[] = [[320, 450], [450, 320], [460, 320], [520, 360], [600, 400]];
const LARGE: readonly (readonly [number, number])[] = [...SMALL, [700, 500], [720, 510], [1000, 700]];

/** The index-th picture of a row. */
export function trialOf(row: Row, index: number, seed: number): Trial {
  const random = randomOf(seedOf(seed, ROWS.indexOf(row), index));
  switch (row) {
    case "scan": return measured(random, { scan: true, sheets: SMALL, marks: [4, 12], lookAlikes: random.whole(10, 60) });
    case "photo": return measured(random, { scan: false, sheets: LARGE, marks: [6, 14], lookAlikes: random.whole(10, 60) });
    case "lens": return measured(random, { scan: false, sheets: LARGE, marks: [10, 16], lookAlikes: random.whole(10, 60), k1: random.between(-0.12, 0.12) });
    case "clutter": return measured(random, { scan: random.chance(0.2), sheets: SMALL, marks: [8, 16], lookAlikes: random.whole(50, 300), clutter: true });
    case "hard": return measured(random, { scan: false, sheets: SMALL, marks: [7, 14], lookAlikes: random.whole(10, 60), hard: true });
    case "refusal": return refusalTrial(index, random);
  }
}

interface Wish {
  readonly scan: boolean;
  readonly sheets: JobWish["sheets"];
  readonly marks: readonly [number, number];
  readonly lookAlikes: number;
  readonly k1?: number;
  readonly clutter?: boolean;
  readonly hard?: boolean;
}

function measured(random: Random, wish: Wish): Trial {
  const stripped = !!wish.hard && random.chance(0.5);
  const made = makeJob({ state: stripped ? "stripped" : "in-sheet", sheets: wish.sheets, marks: wish.marks, qr: random.chance(0.6) }, random);
  const mirrored = !!wish.clutter && random.chance(0.3);
  const turn = wish.clutter || random.chance(0.15) ? random.between(-180, 180) : 90 * random.whole(0, 3) + (wish.scan ? 2 : 8) * random.between(-1, 1);
  const board = boardLook(wish.hard ? random.pick(["kraft", "kraft", "white", "black"] as const) : random.pick(["white", "white", "white", "kraft", "black"] as const), random);
  const job = thickAs(board.look, made);
  const scene = sceneOf(job, random, {
    ...wish, mirrored, turn, board,
    hidden: wish.clutter ? random.whole(0, Math.min(Math.floor(made.marks.length / 3), made.marks.length - 5)) : 0,
  });
  const encoding: Encoding = wish.scan ? random.pick([{ format: "tiff" }, { format: "png" }, { format: "jpeg", quality: 92 }] as const)
    : { format: "jpeg", quality: wish.hard ? random.whole(60, 80) : random.whole(85, 95) };
  return { scene, job, encoding, refusal: null, note: [wish.scan ? "scan" : "photo", job.state, mirrored ? "mirrored" : ""].filter(Boolean).join(", ") };
}

/** The job with its board's thickness stated as drawings state it, to a tenth of a millimetre. */
function thickAs({ thickness }: BoardLook, job: Job): Job {
  return { ...job, sheet: { ...job.sheet, thickness: Math.round(10 * thickness) / 10 } };
}

interface SceneWish extends Wish {
  readonly mirrored: boolean;
  readonly turn: number;
  readonly board: { readonly look: BoardLook; readonly name: "white" | "kraft" | "black" };
  readonly hidden: number;
}

/** A scene of a job with everything else drawn by chance. */
export function sceneOf(job: Job, random: Random, wish: SceneWish): Scene {
  const sheet = String(random.whole(1, 400));
  const from = random.between(-Math.PI, Math.PI);
  return {
    job, sheet, seed: random.whole(0, 2 ** 31),
    print: layer(job, random, wish.scan ? 0.4 : 0.8, 0.3),
    cut: layer(job, random, 0.45, 0.45),
    board: wish.board.look,
    inks: artworkOf(job, sheet, printLook(job, random, wish), random.fork()),
    cutting: cuttingLook(random, !!wish.hard),
    table: tableLook(wish.board.name, random),
    light: wish.scan ? { exposure: 0.8, gradient: 0, from, shadow: null, glare: null, vignette: 0 } : lightLook(random, from, !!wish.hard),
    imaging: wish.scan ? scanner(random, wish) : camera(job, random, wish),
    sensor: wish.scan ? scanSensor(random) : photoSensor(random, !!wish.hard),
  };
}

/** A layer's distortion: offsets in mm, the rest in mm/m, normally distributed. */
function layer(job: Job, random: Random, offset: number, rest: number): LayerMap {
  return {
    centre: { x: job.sheet.width / 2, y: job.sheet.height / 2 },
    offset: { x: offset * 0.6 * random.normal(), y: offset * 0.6 * random.normal() },
    rotation: rest * random.normal(), skew: rest * 0.6 * random.normal(),
    scale: { x: rest * random.normal(), y: rest * random.normal() },
  };
}

function boardLook(name: "white" | "kraft" | "black", random: Random): SceneWish["board"] {
  const shades: Record<typeof name, readonly [Colour, Colour, number, number]> = {
    white: [[0.84, 0.85, 0.85], [0.5, 0.42, 0.3], 0.012, 0],
    kraft: [coded(178, 138, 96), coded(150, 112, 74), 0.05, 0.12],
    black: [[0.03, 0.03, 0.032], [0.05, 0.045, 0.04], 0.08, 0],
  };
  const [colour, edge, fibre, fleck] = shades[name];
  const tint = random.between(0.93, 1.07);
  return { name, look: { colour: [colour[0] * tint, colour[1] * tint, colour[2] * tint], edge, fibre, fleck, thickness: random.between(0.5, 3) } };
}

function printLook(job: Job, random: Random, wish: SceneWish): PrintLook {
  const coloured = random.chance(0.25);
  const hidden = new Set<string>();
  while (hidden.size < wish.hidden) hidden.add(random.pick(job.marks).id);
  return {
    onBlack: wish.board.name === "black",
    markInk: coloured ? random.pick(["cyan", "magenta", "red", "blue", "green"] as const) : "black",
    lightMarks: wish.board.name === "white" && random.chance(0.12),
    gain: random.between(0, 0.06), rough: random.between(0, 0.03), hidden,
    lookAlikes: wish.lookAlikes, strokes: random.whole(3, wish.clutter ? 30 : 12), panels: random.chance(0.85),
  };
}

function cuttingLook(random: Random, hard: boolean): CuttingLook {
  return {
    slit: random.between(0.15, 0.45), depthLight: random.between(0.02, 0.2), lip: random.between(0.08, 0.25), lipLight: random.between(0, hard ? 0.3 : 0.2),
    lipInside: random.chance(0.4) ? 1 : 0, shade: random.between(0.15, 0.5), shadeDepth: random.between(0, 0.2), wander: random.between(0.003, 0.012),
    unevenness: random.between(0.1, 0.35), nicks: random.chance(0.6) ? { length: random.between(0.4, 0.9), every: random.between(50, 110) } : null,
    crease: { width: random.between(0.4, 0.8), depth: random.between(0.06, 0.18), slope: random.between(0.02, 0.08) },
  };
}

function tableLook(board: "white" | "kraft" | "black", random: Random): TableLook {
  const colour: Colour = board === "black" ? random.pick([[0.55, 0.55, 0.55], [0.42, 0.3, 0.17]] as const)
    : random.pick([[0.06, 0.06, 0.065], [0.16, 0.17, 0.18], [0.03, 0.1, 0.06], [0.12, 0.07, 0.035]] as const);
  return { colour, grain: random.between(0.03, 0.15), shade: random.between(0.5, 2.5), shadeDepth: random.between(0.1, 0.5) };
}

function lightLook(random: Random, from: number, hard: boolean): LightLook {
  return {
    exposure: random.between(0.6, 0.85), gradient: random.between(0, hard ? 0.6 : 0.35), from, vignette: random.between(0.05, 0.3),
    shadow: hard && random.chance(0.6) ? { depth: random.between(0.3, 0.6), soft: random.between(1, 12), at: random.between(0.15, 0.85), angle: random.between(-3, 3) } : null,
    glare: hard && random.chance(0.5) ? { gain: random.between(0.2, 0.6), radius: random.between(60, 160), x: random.next(), y: random.next() } : null,
  };
}

function camera(job: Job, random: Random, wish: SceneWish): CameraSetup {
  const wide = job.sheet.width >= job.sheet.height ? Math.abs(Math.cos((wish.turn * Math.PI) / 180)) > 0.707 : Math.abs(Math.sin((wish.turn * Math.PI) / 180)) > 0.707;
  const [width, height] = wide ? [4000, 3000] : [3000, 4000];
  const k1 = wish.k1 ?? 0;
  const off = k1 === 0 ? 0 : 0.008;
  return {
    kind: "camera", width, height, focal: 4000 * random.between(0.75, 1.3),
    principal: { x: off * width * random.normal(), y: off * height * random.normal() },
    lens: { k1, k2: k1 === 0 ? 0 : -0.2 * k1 * random.next(), p1: 0, p2: 0 },
    tilt: random.between(0, 25), towards: random.between(0, 360), turn: wish.turn, mirrored: wish.mirrored, fill: random.between(0.8, 0.96),
  };
}

function scanner(random: Random, wish: SceneWish): ScannerSetup {
  return {
    kind: "scanner", dpi: 300, scale: { x: 0.6 * random.normal(), y: 0.8 * random.normal() }, skew: 0.3 * random.normal(), bow: random.between(-0.008, 0.008),
    turn: wish.turn, mirrored: wish.mirrored, margin: random.between(2, 6),
  };
}

function scanSensor(random: Random): SensorLook {
  const blur = random.between(0.65, 1);
  return { channels: random.chance(0.3) ? 3 : 1, blur: { x: blur, y: blur * random.between(1, 1.15) }, shot: 1e-5, read: random.between(0.001, 0.004), density: 300 };
}

function photoSensor(random: Random, hard: boolean): SensorLook {
  const blur = hard ? random.between(1.4, 2) : random.between(0.7, 1.3);
  return {
    channels: 3, blur: { x: blur, y: random.chance(0.3) ? blur * random.between(1, 1.4) : blur },
    shot: random.between(2e-5, hard ? 4e-4 : 1.5e-4), read: random.between(0.001, hard ? 0.008 : 0.004), density: null,
  };
}

/** What must be refused, one kind after the other. */
function refusalTrial(index: number, random: Random): Trial {
  const plain: Wish = { scan: false, sheets: SMALL, marks: [6, 10], lookAlikes: 20 };
  const t = measured(random, plain);
  const { scene } = t;
  const some: readonly RefusalCode[] = ["marks-not-found"];
  const without = (share: number): Scene => {
    const hidden = new Set(scene.job.marks.slice(0, Math.ceil(share * scene.job.marks.length)).map((m) => m.id));
    const look = { onBlack: false, markInk: "black" as const, lightMarks: false, gain: 0.03, rough: 0.01, hidden, lookAlikes: 30, strokes: 8, panels: true };
    const job = { ...scene.job, codes: [] };
    return { ...scene, job, board: boardLook("white", random).look, inks: artworkOf(job, scene.sheet, look, random.fork()) };
  };
  const kinds: (() => Trial)[] = [
    () => ({ ...t, scene: { ...scene, inks: [], cutting: null }, refusal: some, note: "blank sheet" }),
    () => ({ ...t, job: makeJob({ state: "in-sheet", sheets: SMALL, marks: [6, 10], qr: true }, random), refusal: ["wrong-job", "marks-not-found"], note: "wrong job" }),
    () => {
      const job = makeJob({ state: "in-sheet", sheets: SMALL, marks: [4, 4], qr: false, symmetric: true }, random);
      const same: Job = { ...job, marks: job.marks.map((m) => ({ id: m.id, x: m.x, y: m.y, shape: "dot", diameter: 7 })) };
      return { ...t, job: same, scene: sceneOf(same, random, { ...plain, mirrored: false, turn: random.between(-180, 180), board: boardLook("white", random), hidden: 0 }), refusal: ["marks-ambiguous"], note: "symmetric layout, no code" };
    },
    () => ({ ...t, scene: { ...scene, sensor: { ...scene.sensor, blur: { x: 14, y: 14 } } }, refusal: ["too-blurred", "marks-not-found"], note: "blurred" }),
    () => {
      const setup = scene.imaging.kind === "camera" ? { ...scene.imaging, width: scene.imaging.width / 8, height: scene.imaging.height / 8, focal: scene.imaging.focal / 8 } : scene.imaging;
      return { ...t, scene: { ...scene, imaging: setup }, refusal: ["resolution-too-low", "marks-not-found"], note: "too small" };
    },
    () => ({ ...t, scene: { ...scene, cutting: null }, refusal: ["cuts-not-found"], note: "not cut" }),
    () => {
      const few = without((scene.job.marks.length - 2) / scene.job.marks.length);
      return { ...t, job: few.job, scene: few, refusal: ["marks-not-found", "marks-ambiguous"], note: "too few marks" };
    },
  ];
  return kinds[index % kinds.length]();
}
