import { useCallback, useEffect, useMemo, useRef, useState } from "react";
import type { CheckOutcome } from "../../core/check/record.ts";
import type { Job } from "../../core/job/schema.ts";
import { Fault } from "../frame/Fault.tsx";
import { useWords } from "../settings/useSettings.tsx";
import { drawOverlay, type Layers } from "./drawOverlay.ts";
import { drawTiles } from "./drawTiles.ts";
import { FACTORS, fittingFactor } from "./enlargement.ts";
import { EnlargementBar } from "./EnlargementBar.tsx";
import { useAppearance } from "../style/useAppearance.ts";
import { inksOf } from "./inks.ts";
import { LayerSwitches } from "./LayerSwitches.tsx";
import { overlayLines } from "./overlayLines.ts";
import { toPictureOf } from "./toPicture.ts";
import { useDrawing } from "./useDrawing.ts";
import { useGestures } from "./useGestures.ts";
import { usePicture } from "./usePicture.ts";
import { ViewButtons } from "./ViewButtons.tsx";
import { centredOn, fitted, moved, type Size, type Viewport, zoomedAt } from "./viewport.ts";

const ALL: Layers = { marks: true, nominal: true, found: true, deviation: true };
const NOWHERE: Viewport = { scale: 1, x: 0, y: 0 };

interface Props {
  readonly id: string | undefined;
  readonly job: Job;
  readonly outcome: CheckOutcome | undefined;
}

/** The picture of a sheet with what was measured drawn over it. */
export function PictureView({ id, job, outcome }: Props) {
  const words = useWords();
  const canvas = useRef<HTMLCanvasElement>(null);
  const redrawRef = useRef<() => void>(() => {});
  const arrived = useCallback(() => redrawRef.current(), []);
  const picture = usePicture(id, arrived);
  const [view, setView] = useState<Viewport>(NOWHERE);
  const [box, setBox] = useState<Size>({ width: 1, height: 1 });
  const [layers, setLayers] = useState(ALL);
  const [chosenFactor, setChosenFactor] = useState<number | null>(null);

  const size: Size | null = picture.kind === "ready" ? picture.pyramid : null;
  const lines = useMemo(() => linesOf(job, outcome), [job, outcome]);
  const factor = chosenFactor ?? (lines ? fittingFactor(job.tolerance.position, lines.pxPerMm, view.scale) : 1);

  const redraw = useDrawing(canvas, (g, whole, ratio) => {
    const inks = inksOf(g.canvas);
    g.fillStyle = inks.ground;
    g.fillRect(0, 0, whole.width, whole.height);
    if (picture.kind !== "ready") return;
    drawTiles(g, view, whole, picture.reduced, picture.tiles, picture.pyramid, ratio);
    if (lines) drawOverlay(g, view, lines, layers, factor, inks);
  }, setBox);
  redrawRef.current = redraw;
  // Drawn again after every change of anything, the theme among it.
  useAppearance();
  useEffect(redraw);

  useEffect(() => {
    if (size) setView(inFull(size, box));
  }, [size, box]);

  const actions = {
    pan: (dx: number, dy: number) => size && setView((now) => moved(now, dx, dy, size, box)),
    zoom: (by: number, x: number, y: number) => size && setView((now) => zoomedAt(now, by, x, y, size, box)),
    zoomMiddle: (by: number) => size && setView((now) => zoomedAt(now, by, box.width / 2, box.height / 2, size, box)),
    fit: () => size && setView(inFull(size, box)),
    worst: () => size && lines?.worst && setView(centredOn(lines.worst.x, lines.worst.y, closeUp(lines.pxPerMm), size, box)),
  };
  const gestures = useGestures(canvas, actions);
  const stepFactor = (by: 1 | -1) => setChosenFactor(FACTORS[Math.min(FACTORS.length - 1, Math.max(0, FACTORS.indexOf(factor) + by))]);

  return (
    <figure className="picture">
      <canvas ref={canvas} className="picture-canvas" tabIndex={0} role="img" aria-label={`${words.view.label}. ${words.view.help}`}
        data-scale={view.scale} data-ready={picture.kind === "ready"} {...gestures} />
      {picture.kind === "loading" && id && <p className="picture-state" role="status">{words.common.loading}</p>}
      {picture.kind === "failed" && <div className="picture-state"><Fault error={picture.error} /></div>}
      {picture.kind === "ready" && <ViewButtons actions={actions} hasWorst={Boolean(lines?.worst)} />}
      {lines && picture.kind === "ready" && (
        <figcaption className="picture-legend">
          <LayerSwitches layers={layers} change={setLayers} />
          {layers.deviation && <EnlargementBar pxPerMm={lines.pxPerMm} scale={view.scale} factor={factor} step={stepFactor} />}
        </figcaption>
      )}
    </figure>
  );
}

function linesOf(job: Job, outcome: CheckOutcome | undefined) {
  if (outcome?.record.status !== "measured" || !outcome.overlay) return null;
  return overlayLines(job, outcome.record, outcome.overlay, toPictureOf(outcome.overlay));
}

/** The whole picture; where there is room for it, beside the buttons and with a place for the marks' names. */
function inFull(size: Size, box: Size): Viewport {
  return fitted(size, box, 12, box.width > 560 ? 60 : 12);
}

/** The scale at which a millimetre is 18 CSS pixels wide. */
function closeUp(pxPerMm: number): number {
  return 18 / pxPerMm;
}
