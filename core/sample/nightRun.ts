import { randomOf, seedOf, type Random } from "./random.ts";

/** One checked sheet of the demo's night: what the measurement gave, noise included. Print frame, mm and mm/m. */
export interface NightCheck {
  readonly sheet: number;
  /** Local time without a zone. */
  readonly takenAt: string;
  readonly offsetX: number;
  readonly offsetY: number;
  readonly rotation: number;
  readonly skew: number;
  readonly scaleX: number;
  readonly scaleY: number;
}

/** The demo's night: 400 checks of two jobs cut from one mixed stack. Invented; serves the demo only. */
export interface Night {
  /** A long run that creeps to the right, takes a step when the blade is changed, and ends out of tolerance. */
  readonly drifting: readonly NightCheck[];
  /** The other job of the stack, steady all night. */
  readonly steady: readonly NightCheck[];
}

/** Sheets of the two runs. */
export const NIGHT = { drifting: 690, steady: 168, bladeChange: 421, driftFrom: 240, askew: 333 } as const;

/** Scatter from sheet to sheet and of one measurement, mm (mm/m for the others: three times as much). */
const SCATTER = 0.028;
const READING = 0.008;

/** The night of a seed. */
export function nightRun(seed: number): Night {
  const random = randomOf(seedOf(seed, 404));
  const every = (sheets: number, step: number, from = 1): number[] => Array.from({ length: Math.floor((sheets - from) / step) + 1 }, (_, i) => from + i * step);
  const drifting = [...every(600, 2), ...every(NIGHT.drifting, 6, 606)];
  const steady = every(NIGHT.steady, 2);
  // One mixed stack, cut from the evening on: a sheet of either job, as they lay.
  const order = [...drifting.map((sheet) => ({ sheet, of: "drifting" as const, at: sheet / NIGHT.drifting })), ...steady.map((sheet) => ({ sheet, of: "steady" as const, at: sheet / NIGHT.steady }))]
    .sort((a, b) => a.at - b.at);
  const night: { drifting: NightCheck[]; steady: NightCheck[] } = { drifting: [], steady: [] };
  const start = Date.UTC(2026, 2, 12, 20, 4);
  order.forEach(({ sheet, of }, i) => {
    const takenAt = new Date(start + i * 71_000 + random.between(0, 20_000)).toISOString().slice(0, 19);
    night[of].push({ sheet, takenAt, ...(of === "drifting" ? driftingAt(sheet, random) : measured(random, {})) });
  });
  return night;
}

/** The askew sheet, cut again and checked once more. */
export function askewCutAgain(seed: number): NightCheck {
  const random = randomOf(seedOf(seed, 405));
  return { sheet: NIGHT.askew, takenAt: "2026-03-13T05:12:40", ...measured(random, { offsetX: 0.05 }) };
}

function driftingAt(sheet: number, random: Random): Omit<NightCheck, "sheet" | "takenAt"> {
  const changed = sheet >= NIGHT.bladeChange;
  return measured(random, {
    offsetX: 0.02 + 0.0007 * Math.max(0, sheet - NIGHT.driftFrom) + (changed ? 0.1 : 0),
    offsetY: changed ? -0.07 : 0.01,
    rotation: sheet === NIGHT.askew ? 2.6 : 0.1,
    scaleX: 0.1, scaleY: -0.08,
  });
}

type Values = Omit<NightCheck, "sheet" | "takenAt">;

function measured(random: Random, level: Partial<Values>): Values {
  const scattered = (mean = 0, times = 1): number => Number((mean + times * (SCATTER * random.normal() + READING * random.normal())).toFixed(6));
  return {
    offsetX: scattered(level.offsetX), offsetY: scattered(level.offsetY), rotation: scattered(level.rotation, 2.5), skew: scattered(level.skew, 1.5),
    scaleX: scattered(level.scaleX, 1.5), scaleY: scattered(level.scaleY, 1.5),
  };
}
