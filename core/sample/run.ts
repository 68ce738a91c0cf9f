import { inSheetJob, runScene } from "./demoScene.ts";
import { randomOf, seedOf } from "./random.ts";
import type { Scene } from "./scene.ts";

/** A run of one job: the cut creeps away from the print, sheet by sheet. */
export interface RunWish {
  readonly sheets: number;
  /** How far the cut moves in 100 sheets, mm (x, y) and mm/m. */
  readonly drift: { readonly x: number; readonly y: number; readonly rotation: number };
  /** Sheet-to-sheet scatter of the feed, mm. */
  readonly scatter: number;
  readonly seed: number;
}

/** The scene of one sheet of a run (1 = cut first). Any sheet can be had alone. */
export function sheetOfRun(wish: RunWish, sheet: number): Scene {
  const job = inSheetJob(wish.seed);
  const random = randomOf(seedOf(wish.seed, 77, sheet));
  const hundreds = (sheet - 1) / 100;
  const plain = runScene(job, wish.seed, sheet);
  const { offset, rotation } = plain.print;
  return {
    ...plain,
    // The cutter is registered to the print of each sheet: drift and scatter are what is left.
    cut: {
      ...plain.cut,
      offset: { x: offset.x + wish.drift.x * hundreds + wish.scatter * random.normal(), y: offset.y + wish.drift.y * hundreds + wish.scatter * random.normal() },
      rotation: rotation + wish.drift.rotation * hundreds + 0.08 * random.normal(),
    },
  };
}
