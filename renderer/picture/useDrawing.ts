import { type RefObject, useCallback, useEffect, useRef } from "react";
import type { Size } from "./viewport.ts";

/**
 * Keeps a canvas as large as its box in device pixels and draws it at most once a frame, and only when asked: an idle screen costs
 * nothing. `draw` gets the context scaled to CSS pixels.
 * @returns `redraw`, stable.
 */
export function useDrawing(
  canvas: RefObject<HTMLCanvasElement | null>, draw: (g: CanvasRenderingContext2D, size: Size, ratio: number) => void, resized: (size: Size) => void,
): () => void {
  const latest = useRef({ draw, resized });
  const frame = useRef(0);
  useEffect(() => {
    latest.current = { draw, resized };
  });

  const redraw = useCallback(() => {
    if (frame.current) return;
    frame.current = requestAnimationFrame(() => {
      frame.current = 0;
      const element = canvas.current;
      const g = element?.getContext("2d", { alpha: false });
      if (!element || !g) return;
      const ratio = devicePixelRatio || 1;
      g.setTransform(ratio, 0, 0, ratio, 0, 0);
      latest.current.draw(g, { width: element.width / ratio, height: element.height / ratio }, ratio);
    });
  }, [canvas]);

  useEffect(() => {
    const element = canvas.current;
    if (!element) return;
    const observer = new ResizeObserver(() => {
      const ratio = devicePixelRatio || 1;
      const { clientWidth, clientHeight } = element;
      element.width = Math.max(1, Math.round(clientWidth * ratio));
      element.height = Math.max(1, Math.round(clientHeight * ratio));
      latest.current.resized({ width: clientWidth, height: clientHeight });
      redraw();
    });
    observer.observe(element);
    return () => {
      observer.disconnect();
      cancelAnimationFrame(frame.current);
      frame.current = 0;
    };
  }, [canvas, redraw]);

  return redraw;
}
