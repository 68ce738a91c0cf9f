import { sampleStrips } from "../../../core/cuts/strips/strips.ts";
import { traceCuts } from "../../../core/cuts/trace.ts";
import type { Picture } from "../../../core/image/picture.ts";
import { samplerOf } from "../../../core/image/sampler.ts";
import type { Job } from "../../../core/job/schema.ts";
import { framedArea } from "../../../core/sample/framing.ts";
import { imagingOf } from "../../../core/sample/imaging.ts";
import { forward } from "../../../core/sample/layerMap.ts";
import type { Scene } from "../../../core/sample/scene.ts";
import { cutToPrint } from "../../../core/sample/truth.ts";
import { medianOf } from "../../../core/statistics/median.ts";
import { robustSigma } from "../../../core/statistics/robustSigma.ts";

/**
 * The tracing of cuts alone: traced under the true view, each straight chunk's place against its true one. By the direction of the normal (print frame, eighths
 * of a turn) and by feature, mm; what all chunks of one direction share is a bias (a lip, a light), what they do not is scatter.
 */
export function cutErrors(picture: Picture, job: Job, scene: Scene, pxPerMm: number): string[] {
  const imaging = imagingOf(scene.imaging, framedArea(scene.job));
  const toPicture = (p: { x: number; y: number }) => {
    const board = forward(scene.print, p.x, p.y);
    return { frame: "picture" as const, ...imaging.toPicture(board.x, board.y) };
  };
  const blur = Math.sqrt(scene.sensor.blur.x * scene.sensor.blur.y);
  const { paths } = traceCuts(sampleStrips(picture, samplerOf(picture), job, toPicture, { reach: 3, blur, pxPerMm }), job, null);
  const [byDirection, byFeature] = [new Map<string, Entry[]>(), new Map<string, Entry[]>()];
  for (const path of paths) {
    for (const c of path.chunks) {
      const { x, y, nx, ny, curvature } = c.chunk;
      const norm = Math.hypot(nx, ny);
      if (Math.abs(curvature) > 1e-3 || norm < 0.999) continue;
      const t = cutToPrint(scene, x, y);
      const entry = { found: c.found, error: c.t - ((t.x - x) * nx + (t.y - y) * ny) / norm, sigma: c.sigma, bias: c.bias };
      const sector = Math.round((Math.atan2(ny, nx) / Math.PI) * 4) & 7;
      push(byDirection, `${path.kind} (${path.look}) with normal ${sector * 45} deg`, entry);
      push(byFeature, `${path.feature} (${path.look}, width ${path.width.toFixed(3)})`, entry);
    }
  }
  return [...lines(byDirection), ...lines(byFeature)].map((line) => `true view: ${line}`);
}

interface Entry {
  readonly found: boolean;
  readonly error: number;
  readonly sigma: number;
  readonly bias: number;
}

function push(map: Map<string, Entry[]>, key: string, entry: Entry): void {
  map.set(key, [...(map.get(key) ?? []), entry]);
}

function lines(map: ReadonlyMap<string, readonly Entry[]>): string[] {
  return [...map].sort(([a], [b]) => a.localeCompare(b, "en", { numeric: true })).map(([key, all]) => {
    const found = all.filter((e) => e.found);
    const middle = medianOf(found.map((e) => e.error));
    const mean = (f: (e: Entry) => number): string => (found.reduce((s, e) => s + f(e), 0) / found.length).toFixed(4);
    return `${key}: ${found.length} of ${all.length} found, error median ${middle.toFixed(4)}, scatter ${robustSigma(found.map((e) => e.error - middle)).toFixed(4)} (stated ${mean((e) => e.sigma)}), lip taken out ${mean((e) => e.bias)}`;
  });
}
