import type { PicturePoint, PrintPoint } from "../../geometry/frames.ts";
import type { Picture } from "../../image/picture.ts";
import { primaries, samplerOf, type PlaneWeights } from "../../image/sampler.ts";
import type { Mark } from "../../job/schema.ts";
import { groundOf } from "./lightField.ts";

/** Light of the bare board in red, green and blue, linear. */
export type BareBoard = readonly [r: number, g: number, b: number];

/** White, fully lit: where nothing shows the board. */
export const WHITE: BareBoard = [1, 1, 1];
/** Of the marks' grounds the board is one of the lightest: some marks lie on print. */
const LIGHTEST = 0.8;

/** The bare board as the grounds of the marks show it: marks are printed where nothing else is, most of them. */
export function bareBoard(picture: Picture, marks: readonly Mark[], toPicture: (p: PrintPoint) => PicturePoint | null): BareBoard {
  return primaries.map((primary, k) => {
    const plane = samplerOf(picture, primary);
    const grounds = marks.map((mark) => groundOf(plane, mark, toPicture)).filter((v) => v > 0).sort((a, b) => a - b);
    return grounds[Math.floor(LIGHTEST * (grounds.length - 1))] ?? WHITE[k];
  }) as unknown as BareBoard;
}

/** Its light in a mix of planes: the size of what a bared rim adds there. */
export function lightOf(mix: PlaneWeights, board: BareBoard = WHITE): number {
  return Math.abs(board.reduce((sum, v, k) => sum + v * mix[k], 0));
}
