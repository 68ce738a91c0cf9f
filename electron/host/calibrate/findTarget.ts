import { findBoard } from "../../../core/camera/target/findBoard.ts";
import { findDots, type FoundTarget } from "../../../core/camera/target/findDots.ts";
import type { Target } from "../../../core/camera/target/target.ts";
import type { Picture } from "../../../core/image/picture.ts";
import { loadVision } from "../vision.ts";

/** Finds and measures a target of either kind; the vision library is loaded only for boards. */
export async function findTarget(picture: Picture, target: Target): Promise<FoundTarget> {
  return target.kind === "dots" ? findDots(picture, target) : findBoard(picture, target, await loadVision());
}
