import { type KeyboardEvent, type PointerEvent, type RefObject, useEffect, useRef } from "react";

export interface GestureActions {
  pan(dx: number, dy: number): void;
  zoom(factor: number, x: number, y: number): void;
  zoomMiddle(factor: number): void;
  fit(): void;
  worst(): void;
}

const STEP = 60;
const FACTOR = 1.3;

/** Mouse, touch (one finger moves, two zoom), wheel and keys, for moving about a picture. */
export function useGestures(canvas: RefObject<HTMLCanvasElement | null>, actions: GestureActions) {
  const fingers = useRef(new Map<number, { x: number; y: number }>());
  const latest = useRef(actions);
  useEffect(() => {
    latest.current = actions;
  });

  useEffect(() => {
    const element = canvas.current;
    if (!element) return;
    // React's wheel listener is passive; the page must not scroll while the picture zooms.
    const wheel = (event: WheelEvent) => {
      event.preventDefault();
      const lines = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? 16 : 1;
      latest.current.zoom(Math.exp(-event.deltaY * lines * 0.0016), event.offsetX, event.offsetY);
    };
    element.addEventListener("wheel", wheel, { passive: false });
    return () => element.removeEventListener("wheel", wheel);
  }, [canvas]);

  return {
    onPointerDown(event: PointerEvent<HTMLCanvasElement>) {
      event.currentTarget.setPointerCapture(event.pointerId);
      fingers.current.set(event.pointerId, { x: event.nativeEvent.offsetX, y: event.nativeEvent.offsetY });
    },
    onPointerMove(event: PointerEvent<HTMLCanvasElement>) {
      const before = fingers.current.get(event.pointerId);
      if (!before) return;
      const now = { x: event.nativeEvent.offsetX, y: event.nativeEvent.offsetY };
      const other = [...fingers.current].find(([id]) => id !== event.pointerId)?.[1];
      if (other) {
        const spread = Math.hypot(now.x - other.x, now.y - other.y) / Math.max(1, Math.hypot(before.x - other.x, before.y - other.y));
        latest.current.pan((now.x - before.x) / 2, (now.y - before.y) / 2);
        latest.current.zoom(spread, (now.x + other.x) / 2, (now.y + other.y) / 2);
      } else {
        latest.current.pan(now.x - before.x, now.y - before.y);
      }
      fingers.current.set(event.pointerId, now);
    },
    onPointerUp: (event: PointerEvent<HTMLCanvasElement>) => void fingers.current.delete(event.pointerId),
    onPointerCancel: (event: PointerEvent<HTMLCanvasElement>) => void fingers.current.delete(event.pointerId),
    onKeyDown(event: KeyboardEvent<HTMLCanvasElement>) {
      if (event.ctrlKey || event.metaKey || event.altKey) return;
      const action = keyAction(event.key, latest.current);
      if (!action) return;
      event.preventDefault();
      action();
    },
  };
}

function keyAction(key: string, act: GestureActions): (() => void) | undefined {
  switch (key) {
    case "ArrowLeft": return () => act.pan(STEP, 0);
    case "ArrowRight": return () => act.pan(-STEP, 0);
    case "ArrowUp": return () => act.pan(0, STEP);
    case "ArrowDown": return () => act.pan(0, -STEP);
    case "+": case "=": return () => act.zoomMiddle(FACTOR);
    case "-": return () => act.zoomMiddle(1 / FACTOR);
    case "0": return () => act.fit();
    case "w": case "W": return () => act.worst();
    default: return undefined;
  }
}
