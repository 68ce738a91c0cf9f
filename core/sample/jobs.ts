import type { Cut, Job, Mark } from "../job/schema.ts";
import type { Random } from "./random.ts";

/** What kind of job to make up. */
export interface JobWish {
  readonly state: Job["state"];
  /** Sheets to choose from, mm. */
  readonly sheets: readonly (readonly [number, number])[];
  readonly marks: readonly [number, number];
  readonly qr: boolean;
  /** Marks stand on two axes of symmetry: without a code the layout looks the same after half a turn. */
  readonly symmetric?: boolean;
}

/** Makes up a job of the board-finishing shop: shelf trays and counter displays for a seed company that does not exist. */
export function makeJob(wish: JobWish, random: Random): Job {
  const [width, height] = random.pick(wish.sheets);
  const id = `${wish.state === "stripped" ? "DISPLAY" : "TRAY"}-${random.whole(100, 999)}`;
  const base = {
    format: "kerfmark.job/1" as const, id, cutFrom: random.pick(["print", "reverse"] as const), flip: random.pick(["x", "y"] as const),
    tolerance: { position: 0.5, offset: 0.4, rotation: 0.8, skew: 0.8, scale: 1, crease: 0.8 }, bleed: 3, safe: 3, state: wish.state,
  };
  const count = random.whole(...wish.marks);
  const size = random.between(5.5, 9);
  if (wish.state === "stripped") {
    const box = { x: 30, y: 30, w: width - 60, h: height - 60 };
    const cuts = display(box, random);
    const code = wish.qr ? [{ symbology: "qr" as const, x: box.x + box.w * 0.42, y: box.y + 32, size: 18, payload: "job={job};sheet={sheet}" }] : [];
    const places = perimeter(count, { x: box.x + 16, y: box.y + 16, w: box.w - 32, h: box.h * STRAIGHT - 24 }, !!wish.symmetric, random);
    return { ...base, name: "Counter display, back panel", sheet: sheet(width, height), marks: places.map((p, i) => mark(i, p, size, random)), codes: code, cuts };
  }
  const places = perimeter(count, { x: 13, y: 13, w: width - 26, h: height - 26 }, !!wish.symmetric, random);
  const { cuts, up } = trays({ x: 34, y: 34, w: width - 68, h: height - 68 }, random);
  const marks = places.map((p, i) => mark(i, p, size, random));
  const free = (x: number, y: number, r: number): boolean => marks.every((m) => Math.hypot(m.x - x, m.y - y) > r + 9);
  const code = wish.qr ? spots({ x: 13, y: 13, w: width - 26, h: height - 26 }, 40, random).find((p) => free(p.x, p.y, 14)) : undefined;
  const holes = spots({ x: 24, y: 24, w: width - 48, h: height - 48 }, 60, random)
    .filter((p) => free(p.x, p.y, 6) && (!code || Math.hypot(code.x - p.x, code.y - p.y) > 26))
    .slice(0, random.whole(0, 4));
  return {
    ...base, name: `Shelf tray, ${up} up`, sheet: sheet(width, height), marks,
    codes: code ? [{ symbology: "qr", x: code.x, y: code.y, size: 17, payload: "job={job};sheet={sheet}" }] : [],
    cuts: [...cuts, ...holes.map((p, i): Cut => ({ id: `W${i + 1}`, kind: "cut", circle: { x: p.x, y: p.y, diameter: 6 } }))],
  };
}

interface Box {
  readonly x: number;
  readonly y: number;
  readonly w: number;
  readonly h: number;
}

const sheet = (width: number, height: number): Job["sheet"] => ({ width, height, thickness: 1.5, material: "E-flute board" });

const round = (v: number): number => Math.round(v * 100) / 100;

/** Places along the sides of a box, in order round it: corners first, one corner drawn in so that no turn maps the layout to itself. */
function perimeter(count: number, b: Box, symmetric: boolean, random: Random): { x: number; y: number }[] {
  const drawn = symmetric ? 0 : random.between(0.1, 0.2) * b.w;
  const corners = [{ x: b.x + drawn, y: b.y }, { x: b.x + b.w, y: b.y }, { x: b.x + b.w, y: b.y + b.h }, { x: b.x, y: b.y + b.h }];
  if (symmetric) return corners;
  const between = Array.from({ length: 60 }, () => along(b, random.next()));
  const places = [...corners];
  for (const p of between) {
    if (places.length >= count) break;
    if (places.every((q) => Math.hypot(p.x - q.x, p.y - q.y) > 30)) places.push(p);
  }
  return places.map((p) => ({ x: round(p.x), y: round(p.y) }));
}

function spots(b: Box, count: number, random: Random): { x: number; y: number }[] {
  return Array.from({ length: count }, () => along(b, random.next())).map((p) => ({ x: round(p.x), y: round(p.y) }));
}

/** The point a share t of the way round a box. */
function along(b: Box, t: number): { x: number; y: number } {
  const s = t * 2 * (b.w + b.h);
  if (s < b.w) return { x: b.x + s, y: b.y };
  if (s < b.w + b.h) return { x: b.x + b.w, y: b.y + s - b.w };
  if (s < 2 * b.w + b.h) return { x: b.x + 2 * b.w + b.h - s, y: b.y + b.h };
  return { x: b.x, y: b.y + 2 * (b.w + b.h) - s };
}

function mark(index: number, { x, y }: { x: number; y: number }, size: number, random: Random): Mark {
  const at = { id: `M${index + 1}`, x, y };
  const d = round(size);
  switch (random.pick(["dot", "dot", "ring", "cross", "checker", "square"] as const)) {
    case "dot": return { ...at, shape: "dot", diameter: d };
    case "ring": return { ...at, shape: "ring", outer: round(1.2 * d), inner: round(0.7 * d) };
    case "cross": return { ...at, shape: "cross", size: round(1.4 * d), stroke: round(0.22 * d) };
    case "checker": return { ...at, shape: "checker", diameter: round(1.3 * d) };
    case "square": return { ...at, shape: "square", size: d };
  }
}

/** Trays side by side: a cross-shaped blank with rounded corners, folds where the walls stand up. */
function trays(b: Box, random: Random): { cuts: Cut[]; up: number } {
  const columns = Math.max(1, Math.round(b.w / random.between(150, 260)));
  const rows = Math.max(1, Math.round(b.h / random.between(130, 220)));
  const gap = 9;
  const w = round((b.w - gap * (columns - 1)) / columns);
  const h = round((b.h - gap * (rows - 1)) / rows);
  const wall = round(Math.min(w, h) * random.between(0.16, 0.24));
  const r = round(random.between(3, 8));
  const cuts: Cut[] = [];
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) {
      const x = round(b.x + i * (w + gap));
      const y = round(b.y + j * (h + gap));
      const n = j * columns + i + 1;
      const [X, Y] = [round(x + w), round(y + h)];
      const [xi, yi, Xi, Yi] = [round(x + wall), round(y + wall), round(X - wall), round(Y - wall)];
      cuts.push({ id: `blank${n}`, kind: "cut", path: `M ${xi + r} ${y} L ${Xi - r} ${y} A ${r} ${r} 0 0 1 ${Xi} ${y + r} L ${Xi} ${yi} L ${X - r} ${yi} A ${r} ${r} 0 0 1 ${X} ${yi + r} `
        + `L ${X} ${Yi - r} A ${r} ${r} 0 0 1 ${X - r} ${Yi} L ${Xi} ${Yi} L ${Xi} ${Y - r} A ${r} ${r} 0 0 1 ${Xi - r} ${Y} L ${xi + r} ${Y} A ${r} ${r} 0 0 1 ${xi} ${Y - r} `
        + `L ${xi} ${Yi} L ${x + r} ${Yi} A ${r} ${r} 0 0 1 ${x} ${Yi - r} L ${x} ${yi + r} A ${r} ${r} 0 0 1 ${x + r} ${yi} L ${xi} ${yi} L ${xi} ${y + r} A ${r} ${r} 0 0 1 ${xi + r} ${y} Z` });
      cuts.push({ id: `fold${n}a`, kind: "crease", path: `M ${xi} ${yi} L ${Xi} ${yi}` }, { id: `fold${n}b`, kind: "crease", path: `M ${xi} ${Yi} L ${Xi} ${Yi}` });
    }
  }
  return { cuts, up: columns * rows };
}

/** Share of a display's height that is straight-sided at least: marks stay below, clear of the arch. */
const STRAIGHT = 0.8;

/** A display's back panel: straight sides, an arched top, a window. */
function display(b: Box, random: Random): Cut[] {
  const arch = round(b.h * random.between(0.1, 1 - STRAIGHT));
  const [x, y, X, Y] = [b.x, b.y, round(b.x + b.w), round(b.y + b.h)];
  const outline = `M ${x + 8} ${y} L ${X - 8} ${y} A 8 8 0 0 1 ${X} ${y + 8} L ${X} ${Y - arch} C ${X} ${Y - arch * 0.3} ${X - b.w * 0.25} ${Y} ${x + b.w / 2} ${Y} `
    + `C ${x + b.w * 0.25} ${Y} ${x} ${Y - arch * 0.3} ${x} ${Y - arch} L ${x} ${y + 8} A 8 8 0 0 1 ${x + 8} ${y} Z`;
  const cuts: Cut[] = [{ id: "panel", kind: "cut", path: outline }];
  if (random.chance(0.5)) {
    const [u, v, w, h] = [round(x + b.w * 0.3), round(y + b.h * 0.42), round(b.w * 0.4), round(b.h * 0.18)];
    cuts.push({ id: "window", kind: "cut", path: `M ${u} ${v} h ${w} v ${h} h ${-w} Z` });
  }
  return cuts;
}
