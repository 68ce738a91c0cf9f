import { type KeyboardEvent, type PointerEvent, type ReactNode, useMemo, useRef, useState } from "react";
import { Button, Toolbar } from "react-aria-components";
import type { PrintPoint } from "../../../core/geometry/frames.ts";
import { Icon } from "../../frame/Icon.tsx";
import { useGestures } from "../../picture/useGestures.ts";
import { useViewport } from "../../picture/useViewport.ts";
import { fitted, moved, type Size, zoomedAt } from "../../picture/viewport.ts";
import { useWords } from "../../settings/useSettings.tsx";
import type { Scene } from "./painter.ts";
import { type Grip, useHold } from "./useHold.ts";
import { usePainter } from "./usePainter.ts";

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
/** Table seen round the whole sheet, CSS pixels. */
const MARGIN = 24;
/** A millimetre is at most this many CSS pixels. */
const CLOSEST = 400;

/** A sheet that can be moved about and zoomed, by pointer, touch and keys. */
export function SheetCanvas({ sheet, scene, label, onPick, gripAt, onKey, children }: Props) {
  const words = useWords();
  const canvas = useRef<HTMLCanvasElement>(null);
  const [box, setBox] = useState<Size>({ width: 1, height: 1 });
  const { width, height } = sheet;
  const { view, move, showAll } = useViewport(sheet, box, useMemo(() => fitted({ width, height }, box, MARGIN), [width, height, box]));
  usePainter(canvas, scene, view, setBox);

  const zoom = (by: number, x: number, y: number) => move((now) => zoomedAt(now, by, x, y, sheet, box, CLOSEST));
  const actions = {
    pan: (dx: number, dy: number) => move((now) => moved(now, dx, dy, sheet, box)),
    zoom,
    zoomMiddle: (by: number) => zoom(by, box.width / 2, box.height / 2),
    fit: showAll,
    worst: () => {},
  };
  const gestures = useGestures(canvas, actions);
  const at = ({ nativeEvent: { offsetX, offsetY } }: PointerEvent<HTMLCanvasElement>): PrintPoint => ({ x: (offsetX - view.x) / view.scale, y: height - (offsetY - view.y) / view.scale });
  const hold = useHold({ gripAt, onPick }, gestures, at, REACH / view.scale);

  return (
    <div className="sheet-canvas">
      <canvas
        ref={canvas} tabIndex={0} role="img" aria-label={`${label}. ${words.jobs.canvas.help}`} data-scale={view.scale} data-x={view.x} data-y={view.y} {...hold}
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
