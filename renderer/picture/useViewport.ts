import { useState } from "react";
import type { Size, Viewport } from "./viewport.ts";

interface Moved {
  readonly of: Size;
  readonly view: Viewport;
}

/**
 * A view that shows all of `shown` until it is moved, and again once `showAll` is called. Where the canvas changes its size, a view
 * that was moved stays where it is: a legend that comes in beside a picture takes nobody's place from them.
 * @param whole The view that shows everything as the canvas stands now.
 */
export function useViewport(shown: Size, whole: Viewport): { view: Viewport; move: (change: (now: Viewport) => Viewport) => void; showAll: () => void } {
  const [moved, setMoved] = useState<Moved | null>(null);
  const viewOf = (now: Moved | null): Viewport => (now && now.of.width === shown.width && now.of.height === shown.height ? now.view : whole);
  return {
    view: viewOf(moved),
    move: (change) => setMoved((now) => ({ of: shown, view: change(viewOf(now)) })),
    showAll: () => setMoved(null),
  };
}
