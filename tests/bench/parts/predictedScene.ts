import type { Job, Mark } from "../../../core/job/schema.ts";
import { makeJob } from "../../../core/sample/jobs.ts";
import { randomOf, seedOf } from "../../../core/sample/random.ts";
import { sceneOf, trialOf } from "../../../core/sample/scenarios.ts";
import type { BoardLook, Scene } from "../../../core/sample/scene.ts";

const SIZE = [450, 320] as const;

/** Eight dots as once proposed for this sheet and a phone at 600 mm: written down, so that the pictures stay the same whatever is proposed today. */
const PLACES = [[441, 9], [9, 107.48], [9, 140.3], [15.55, 245.35], [205.36, 271.61], [94.09, 291.3], [192.27, 311], [297, 311]] as const;

/** The one layout of the comparison: four trays up. */
export const layout: Job = {
  ...makeJob({ state: "in-sheet", sheets: [SIZE], marks: [4, 4], qr: false }, randomOf(seedOf(2, 0, 0))),
  marks: PLACES.map(([x, y], i): Mark => ({ id: `M${i + 1}`, shape: "dot", x, y, diameter: 6 })),
};

/** The index-th sheet of the layout on white board: everything but the job differs from sheet to sheet. */
export function sceneAt(index: number, scan: boolean): Scene {
  const random = randomOf(seedOf(7, scan ? 1 : 0, index));
  return sceneOf(layout, random, {
    scan, sheets: [SIZE], marks: [8, 8], lookAlikes: random.whole(10, 40), mirrored: false, turn: random.between(-3, 3), board: { look: whiteBoard(index), name: "white" }, hidden: 0,
  });
}

/** White board as the scenarios have it: the first one from there on. */
function whiteBoard(index: number): BoardLook {
  for (let i = index; ; i++) {
    const { board } = trialOf("scan", i, 11).scene;
    if (board.colour[0] > 0.7) return board;
  }
}
