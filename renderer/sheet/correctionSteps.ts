import type { Measured } from "../../core/check/record.ts";
import type { Figures } from "../figures/figures.ts";
import type { Words } from "../words/words.ts";

export interface CorrectionStep {
  readonly text: string;
  /** The step is smaller than the uncertainty of what it corrects: it may be noise. */
  readonly weak: boolean;
}

/** The correction in words, one step each, as seen at the cutter. Parts that round to nothing are left out. */
export function correctionSteps(record: Measured, words: Words, figures: Figures): CorrectionStep[] {
  const { x, y, rotation, scaleX, scaleY } = record.correction;
  const say = words.correction;
  const length = (mm: number) => `${figures.length(Math.abs(mm))} ${figures.lengthUnit}`;
  const rate = (value: number) => `${figures.rate(Math.abs(value))} mm/m`;
  const steps: (CorrectionStep & { readonly size: number; readonly least: number })[] = [
    { text: (x < 0 ? say.left : say.right)(length(x)), weak: Math.abs(x) < record.offset.U, size: x, least: 0.0005 },
    { text: (y < 0 ? say.down : say.up)(length(y)), weak: Math.abs(y) < record.offset.U, size: y, least: 0.0005 },
    {
      text: (rotation < 0 ? say.turnRight : say.turnLeft)(rate(rotation), figures.degrees(Math.abs(rotation))),
      weak: Math.abs(rotation) < record.rotation.U, size: rotation, least: 0.005,
    },
    { text: (scaleX < 0 ? say.shorter : say.longer)(say.across, rate(scaleX)), weak: Math.abs(scaleX) < record.scale.U, size: scaleX, least: 0.005 },
    { text: (scaleY < 0 ? say.shorter : say.longer)(say.along, rate(scaleY)), weak: Math.abs(scaleY) < record.scale.U, size: scaleY, least: 0.005 },
  ];
  return steps.filter((step) => Math.abs(step.size) >= step.least).map(({ text, weak }) => ({ text, weak }));
}
