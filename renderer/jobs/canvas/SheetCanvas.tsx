import { type KeyboardEvent, type PointerEvent, type ReactNode, useEffect, useRef, useState } from "react";
import { Button, Toolbar } from "react-aria-components";
import type { PrintPoint } from "../../../core/geometry/frames.ts";
import { Icon } from "../../frame/Icon.tsx";
import { useGestures } from "../../picture/useGestures.ts";
import { fitted, moved, type Size, type Viewport, zoomedAt } from "../../picture/viewport.ts";
import { useWords } from "../../settings/useSettings.tsx";
import { Painter, type Scene } from "./painter.ts";

/** Something that follows the pointer. */
export interface Grip {
  move(to: PrintPoint): void;
  drop(): void;
}

interface Props {
  /** mm. */
  readonly sheet: Size;
  readonly scene: Scene;
  readonly label: string;
  /** A click or tap; `reach` is what counts as on it, mm. */
  readonly onPick?: (at: PrintPoint, reach: number) => void;
  /** What a pointer that goes down here takes hold of; null to move the view. */
  readonly gripAt?: (at: PrintPoint, reach: number) => Grip | null;
  /** Keys before the view's own; true where the key was used. */
  readonly onKey?: (event: KeyboardEvent) => boolean;
  readonly children?: ReactNode;
}

/** CSS pixels round a line that still hit it. */
const REACH = 9;
/** A pointer that moves less than this has clicked, CSS pixels. */
const STILL = 4;
/** Table seen round the whole sheet, CSS pixels. */
const MARGIN = 24;
/** A millimetre is at most this many CSS pixels. */
const CLOSEST = 400;

/** A sheet that can be moved about and zoomed, by pointer, touch and keys. */
export function SheetCanvas({ sheet, scene, label, onPick, gripAt, onKey, children }: Props) {
  const words = useWords();
  const canvas = useRef<HTMLCanvasElement>(null);
  const painter = useRef<Painter | null>(null);
  const [box, setBox] = useState<Size>({ width: 1, height: 1 });
  const [view, setView] = useState<Viewport>({ scale: 1, x: 0, y: 0 });
  const grip = useRef<Grip | null>(null);
  const down = useRef<{ x: number; y: number } | null>(null);
  const { width, height } = sheet;

  useEffect(() => {
    const element = canvas.current;
    if (!element) return;
    const made = new Painter(element);
    painter.current = made;
    const observer = new ResizeObserver(() => {
      const ratio = devicePixelRatio || 1;
      element.width = Math.max(1, Math.round(element.clientWidth * ratio));
      element.height = Math.max(1, Math.round(element.clientHeight * ratio));
      made.resized();
      setBox({ width: element.clientWidth, height: element.clientHeight });
    });
    observer.observe(element);
    return () => {
      observer.disconnect();
      made.stop();
    };
  }, []);
  useEffect(() => setView(fitted({ width, height }, box, MARGIN)), [width, height, box]);
  useEffect(() => painter.current?.show(scene), [scene]);
  useEffect(() => painter.current?.look(view), [view]);

  const zoom = (by: number, x: number, y: number) => setView((now) => zoomedAt(now, by, x, y, sheet, box, CLOSEST));
  const actions = {
    pan: (dx: number, dy: number) => setView((now) => moved(now, dx, dy, sheet, box)),
    zoom,
    zoomMiddle: (by: number) => zoom(by, box.width / 2, box.height / 2),
    fit: () => setView(fitted(sheet, box, MARGIN)),
    worst: () => {},
  };
  const gestures = useGestures(canvas, actions);
  const at = (event: PointerEvent<HTMLCanvasElement>): PrintPoint => {
    const { offsetX, offsetY } = event.nativeEvent;
    return { x: (offsetX - view.x) / view.scale, y: height - (offsetY - view.y) / view.scale };
  };
  const reach = REACH / view.scale;

  return (
    <div className="sheet-canvas">
      <canvas
        ref={canvas} tabIndex={0} role="img" aria-label={`${label}. ${words.jobs.canvas.help}`} data-scale={view.scale} data-x={view.x} data-y={view.y}
        {...gestures}
        onPointerDown={(event) => {
          down.current = { x: event.clientX, y: event.clientY };
          grip.current = event.button === 0 ? gripAt?.(at(event), reach) ?? null : null;
          if (grip.current) event.currentTarget.setPointerCapture(event.pointerId);
          else gestures.onPointerDown(event);
        }}
        onPointerMove={(event) => {
          if (grip.current) grip.current.move(at(event));
          else gestures.onPointerMove(event);
        }}
        onPointerUp={(event) => {
          const from = down.current;
          down.current = null;
          if (grip.current) grip.current.drop();
          grip.current = null;
          gestures.onPointerUp(event);
          if (from && Math.hypot(event.clientX - from.x, event.clientY - from.y) < STILL) onPick?.(at(event), reach);
        }}
        onPointerCancel={(event) => {
          down.current = null;
          grip.current?.drop();
          grip.current = null;
          gestures.onPointerCancel(event);
        }}
        onKeyDown={(event) => {
          if (onKey?.(event)) event.preventDefault();
          else gestures.onKeyDown(event);
        }}
      />
      <div className="sheet-foot">
        <div className="sheet-words">{children}</div>
        <Toolbar className="buttons" aria-label={words.jobs.canvas.view}>
          <Button className="square" aria-label={words.view.zoomIn} onPress={() => actions.zoomMiddle(1.5)}><Icon name="plus" /></Button>
          <Button className="square" aria-label={words.view.zoomOut} onPress={() => actions.zoomMiddle(1 / 1.5)}><Icon name="minus" /></Button>
          <Button className="square" aria-label={words.view.fit} onPress={actions.fit}><Icon name="whole" /></Button>
        </Toolbar>
      </div>
    </div>
  );
}
