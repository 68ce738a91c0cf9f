import type { Correction } from "../../core/check/record.ts";
import type { Job } from "../../core/job/schema.ts";
import { useWords } from "../settings/useSettings.tsx";

/** The largest move on the sketch, as a share of the sheet's longer side. */
const SHOWN = 0.11;

/**
 * The sheet as it lies at the cutter: dashed where the cut is now, solid where the correction puts it, enlarged, with an arrow
 * for the shift. Reverse-side jobs show that the print is hidden.
 */
export function CorrectionSketch({ job, correction }: { job: Job; correction: Correction }) {
  const words = useWords().correction;
  const { width, height } = job.sheet;
  const long = Math.max(width, height);
  const k = enlargement(correction, width, height, SHOWN * long);
  const shift = { x: correction.x * k, y: -correction.y * k };
  const inset = long * 0.12;
  const corners = [[inset, inset], [width - inset, inset], [width - inset, height - inset], [inset, height - inset]];
  const target = corners.map(([px, py]) => placed(px, py, correction, k, width, height).join(",")).join(" ");
  const line = long / 150;
  return (
    <svg className="sketch" viewBox={`${-line * 2} ${-line * 2} ${width + 4 * line} ${height + 4 * line}`} role="img" aria-label={words.sketch}>
      <rect className="sketch-sheet" x="0" y="0" width={width} height={height} strokeWidth={line} />
      <polygon className="sketch-now" points={corners.map((p) => p.join(",")).join(" ")} strokeWidth={line * 1.2} strokeDasharray={`${line * 5} ${line * 3}`} />
      <polygon className="sketch-then" points={target} strokeWidth={line * 1.8} />
      {Math.hypot(shift.x, shift.y) > line * 3 && <Arrow x={width / 2} y={height / 2} dx={shift.x * 1.6} dy={shift.y * 1.6} line={line * 2} />}
    </svg>
  );
}

/** Where the enlarged correction carries a corner; svg coordinates, y down. */
function placed(px: number, py: number, c: Correction, k: number, width: number, height: number): [number, number] {
  const x = px - width / 2;
  const y = height / 2 - py;
  const dx = c.x + (c.scaleX * x - c.rotation * y) / 1000;
  const dy = c.y + (c.rotation * x + c.scaleY * y) / 1000;
  return [px + k * dx, py - k * dy];
}

/** The factor that makes the largest corner move `shown` long. */
function enlargement(c: Correction, width: number, height: number, shown: number): number {
  const x = width / 2;
  const y = height / 2;
  const corners = [[x, y], [-x, y], [x, -y], [-x, -y]];
  const largest = Math.max(...corners.map(([px, py]) => Math.hypot(
    c.x + (c.scaleX * px - c.rotation * py) / 1000, c.y + (c.rotation * px + c.scaleY * py) / 1000)));
  return largest > 0 ? shown / largest : 0;
}

function Arrow({ x, y, dx, dy, line }: { x: number; y: number; dx: number; dy: number; line: number }) {
  const length = Math.hypot(dx, dy);
  const ux = dx / length;
  const uy = dy / length;
  const head = line * 5;
  const tip = `${x + dx},${y + dy}`;
  const left = `${x + dx - head * ux - head * 0.6 * uy},${y + dy - head * uy + head * 0.6 * ux}`;
  const right = `${x + dx - head * ux + head * 0.6 * uy},${y + dy - head * uy - head * 0.6 * ux}`;
  return (
    <g className="sketch-arrow">
      <line x1={x} y1={y} x2={x + dx - head * 0.8 * ux} y2={y + dy - head * 0.8 * uy} strokeWidth={line} />
      <polygon points={`${tip} ${left} ${right}`} />
    </g>
  );
}
