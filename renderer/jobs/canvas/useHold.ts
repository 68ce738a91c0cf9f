import { type PointerEvent, useRef } from "react";
import type { PrintPoint } from "../../../core/geometry/frames.ts";
import type { useGestures } from "../../picture/useGestures.ts";

/** Something that follows the pointer. */
export interface Grip {
  move(to: PrintPoint): void;
  drop(): void;
}

interface Holding {
  /** What a pointer that goes down here takes hold of; null to move the view. */
  readonly gripAt?: (at: PrintPoint, reach: number) => Grip | null;
  /** A click or tap; `reach` is what counts as on it, mm. */
  readonly onPick?: (at: PrintPoint, reach: number) => void;
}

/** A pointer that moves less than this has clicked, CSS pixels. */
const STILL = 4;

/** A pointer's handlers: it takes hold of what lies under it, else moves the view as `gestures` say, and picks where it stays still. `at`: where on the sheet it is; `reach`, mm. */
export function useHold({ gripAt, onPick }: Holding, gestures: ReturnType<typeof useGestures>, at: (event: PointerEvent<HTMLCanvasElement>) => PrintPoint, reach: number) {
  const grip = useRef<Grip | null>(null);
  const down = useRef<{ x: number; y: number } | null>(null);
  const letGo = () => {
    grip.current?.drop();
    grip.current = null;
    down.current = null;
  };
  return {
    onPointerDown(event: PointerEvent<HTMLCanvasElement>) {
      down.current = { x: event.clientX, y: event.clientY };
      grip.current = event.button === 0 ? gripAt?.(at(event), reach) ?? null : null;
      if (grip.current) event.currentTarget.setPointerCapture(event.pointerId);
      else gestures.onPointerDown(event);
    },
    onPointerMove(event: PointerEvent<HTMLCanvasElement>) {
      if (grip.current) grip.current.move(at(event));
      else gestures.onPointerMove(event);
    },
    onPointerUp(event: PointerEvent<HTMLCanvasElement>) {
      const from = down.current;
      letGo();
      gestures.onPointerUp(event);
      if (from && Math.hypot(event.clientX - from.x, event.clientY - from.y) < STILL) onPick?.(at(event), reach);
    },
    onPointerCancel(event: PointerEvent<HTMLCanvasElement>) {
      letGo();
      gestures.onPointerCancel(event);
    },
  };
}
