import { checkSheet } from "../../../core/check/check.ts";
import { truthOf } from "../../../core/sample/truth.ts";
import { decodePicture } from "../../../electron/host/pictures/decode.ts";
import { keptPicture } from "./accuracyStore.ts";
import { layout, sceneAt } from "./predictedScene.ts";

export const FIGURES = ["offset", "rotation", "skew", "scale", "worst"] as const;
export type Figure = (typeof FIGURES)[number];

export interface PredictedTask {
  readonly scan: boolean;
  readonly index: number;
  /** Draw the picture where it is not kept yet, and do no more. */
  readonly drawOnly: boolean;
}

/** What a check of one picture stated, and by how much it was off. */
export interface FoundU {
  readonly pxPerMm: number;
  readonly U: Readonly<Record<Figure, number>>;
  /** Errors of each figure, mm or mm/m: of offset and scale both axes. */
  readonly errors: Readonly<Record<Figure, readonly number[]>>;
}

/** Draws a picture of the layout (or takes it from the store) and checks it; null where it was refused, or only to be drawn. */
export default async function runPredicted({ scan, index, drawOnly }: PredictedTask): Promise<FoundU | null> {
  const scene = sceneAt(index, scan);
  const file = await keptPicture(`layout-${scan ? "scan" : "phone"}-${index}`, scene, { format: "jpeg", quality: 92 });
  if (drawOnly) return null;
  const { record } = checkSheet(await decodePicture(file), layout, { image: file });
  if (record.status !== "measured") return null;
  const truth = truthOf(scene);
  const { offset, rotation, skew, scale, worst } = record;
  return {
    pxPerMm: record.view.pxPerMm,
    U: { offset: offset.U, rotation: rotation.U, skew: skew.U, scale: scale.U, worst: worst.U },
    errors: {
      offset: [Math.abs(offset.x - truth.offset.x), Math.abs(offset.y - truth.offset.y)],
      rotation: [Math.abs(rotation.value - truth.rotation)],
      skew: [Math.abs(skew.value - truth.skew)],
      scale: [Math.abs(scale.x - truth.scale.x), Math.abs(scale.y - truth.scale.y)],
      worst: [Math.abs(Math.abs(worst.value) - Math.abs(truth.worst.value))],
    },
  };
}
