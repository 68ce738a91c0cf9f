import { type RefObject, useEffect, useRef } from "react";
import type { Size, Viewport } from "../../picture/viewport.ts";
import { Painter, type Scene } from "./painter.ts";

/**
 * Keeps the scene painted on the canvas, as it is looked at and at the screen's own fineness.
 * @param resized Told the canvas's size, CSS pixels; stable.
 */
export function usePainter(canvas: RefObject<HTMLCanvasElement | null>, scene: Scene, view: Viewport, resized: (size: Size) => void): void {
  const painter = useRef<Painter | null>(null);
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
      resized({ width: element.clientWidth, height: element.clientHeight });
    });
    observer.observe(element);
    return () => {
      observer.disconnect();
      made.stop();
    };
  }, [canvas, resized]);
  useEffect(() => painter.current?.show(scene), [scene]);
  useEffect(() => painter.current?.look(view), [view]);
}
