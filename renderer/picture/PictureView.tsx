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
import { useViewport } from "./useViewport.ts";
import { ViewButtons } from "./ViewButtons.tsx";
import { centredOn, fitted, moved, type Size, type Viewport, zoomedAt } from "./viewport.ts";

const ALL: Layers = { marks: true, nominal: true, found: true, deviation: true };
const NOTHING: Size = { width: 1, height: 1 };

interface Props {
  readonly id: string | undefined;
  /** Of the picture's file. */
  readonly name: string;
  readonly job: Job;
  readonly outcome: CheckOutcome | undefined;
}

/** The picture of a sheet with what was measured drawn over it. */
export function PictureView({ id, name, job, outcome }: Props) {
  const words = useWords();
  const canvas = useRef<HTMLCanvasElement>(null);
  const redrawRef = useRef<() => void>(() => {});
  const arrived = useCallback(() => redrawRef.current(), []);
  const picture = usePicture(id, arrived);
  const [box, setBox] = useState(NOTHING);
  const [layers, setLayers] = useState(ALL);
  const [chosenFactor, setChosenFactor] = useState<number | null>(null);

  const size: Size = picture.kind === "ready" ? picture.pyramid : NOTHING;
  const { view, move, showAll } = useViewport(size, box, inFull(size, box));
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

  const zoom = (by: number, x: number, y: number) => move((now) => zoomedAt(now, by, x, y, size, box));
  const actions = {
    pan: (dx: number, dy: number) => move((now) => moved(now, dx, dy, size, box)),
    zoom,
    zoomMiddle: (by: number) => zoom(by, box.width / 2, box.height / 2),
    fit: showAll,
    worst: () => {
      const place = lines?.worst;
      if (place) move(() => centredOn(place.x, place.y, closeUp(lines.pxPerMm), size, box));
    },
  };
  const gestures = useGestures(canvas, actions);
  const stepFactor = (by: 1 | -1) => setChosenFactor(FACTORS[Math.min(FACTORS.length - 1, Math.max(0, FACTORS.indexOf(factor) + by))]);

  return (
    <figure className="picture">
      <canvas ref={canvas} className="picture-canvas" tabIndex={0} role="img" aria-label={`${words.view.label(name)}. ${words.view.help}`}
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
