import type { PicturePoint, PrintPoint } from "../../geometry/frames.ts";
import type { Picture } from "../../image/picture.ts";
import type { PlaneWeights } from "../../image/sampler.ts";
import type { Station } from "../../job/walk.ts";
import { WHITE, type BareBoard } from "./bareBoard.ts";
import { groundBeside, type Ground } from "./brightPlane.ts";

/** Of the board's light the ground beside a cut must take so much more in one plane than in another to show hues: less is lost in the noise of both. */
const HUED = 0.15;

/**
 * The mix of colour planes, piece by piece, in which a slit is seen by the print's colour that it interrupts: the plane in which the ground is lightest against bare board less the one in which it is
 * darkest, each as a share of the board's. What a slit shows of its walls, floor and bared lips has the board's own colour, be it as light as the print, and is nothing in it; the print is lighter.
 * Null where the ground has no colour of its own, and all over in a grey picture.
 */
export function huePlanes(picture: Picture, toPicture: (p: PrintPoint) => PicturePoint | null, board: BareBoard = WHITE): (piece: readonly Station[]) => PlaneWeights | null {
  return picture.channels === 1 ? () => null : (piece) => hueMix(groundBeside(picture, toPicture, piece), board);
}

function hueMix({ light, seen }: Ground, board: BareBoard): PlaneWeights | null {
  const shares = light.map((v, k) => v / (seen * board[k]));
  const [most, least] = [Math.max(...shares), Math.min(...shares)];
  if (!(most - least > HUED)) return null;
  const [lightest, darkest] = [shares.indexOf(most), shares.indexOf(least)];
  const total = 1 / board[lightest] + 1 / board[darkest];
  return [0, 1, 2].map((k) => (k === lightest ? 1 : k === darkest ? -1 : 0) / (board[k] * total)) as unknown as PlaneWeights;
}
