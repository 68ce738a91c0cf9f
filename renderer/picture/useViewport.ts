import { useState } from "react";
import type { Size, Viewport } from "./viewport.ts";

interface Moved {
  readonly of: Size;
  /** The canvas as it was then. */
  readonly box: Size;
  readonly view: Viewport;
}

/**
 * A view that shows all of `shown` until it is moved, and again once `showAll` is called. Where the canvas changes its size, what was in its middle stays there at the same scale: a legend that
 * comes in beside a picture takes nobody's place from them.
 *
 * @param box the canvas, CSS pixels.
 * @param whole the view that shows everything as the canvas stands now.
 */
export function useViewport(shown: Size, box: Size, whole: Viewport): { view: Viewport; move: (change: (now: Viewport) => Viewport) => void; showAll: () => void } {
  const [moved, setMoved] = useState<Moved | null>(null);
  const viewOf = (now: Moved | null): Viewport => {
    if (now?.of.width !== shown.width || now.of.height !== shown.height) return whole;
    const { scale, x, y } = now.view;
    return { scale, x: x + (box.width - now.box.width) / 2, y: y + (box.height - now.box.height) / 2 };
  };
  return {
    view: viewOf(moved),
    move: (change) => setMoved((now) => ({ of: shown, box, view: change(viewOf(now)) })),
    showAll: () => setMoved(null),
  };
}
