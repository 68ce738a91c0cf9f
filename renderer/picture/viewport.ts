/** What part of a picture a canvas shows: canvas pixel = scale * picture pixel + (x, y). CSS pixels. */
export interface Viewport {
  readonly scale: number;
  readonly x: number;
  readonly y: number;
}

export interface Size {
  readonly width: number;
  readonly height: number;
}

/** One picture pixel may become this many CSS pixels at most, unless told otherwise. */
const CLOSEST = 24;

/** The whole picture, centred, with a margin all round, or another one at the sides. */
export function fitted(picture: Size, canvas: Size, margin = 12, side = margin): Viewport {
  const scale = Math.max(1e-6, Math.min((canvas.width - 2 * side) / picture.width, (canvas.height - 2 * margin) / picture.height));
  return { scale, x: (canvas.width - scale * picture.width) / 2, y: (canvas.height - scale * picture.height) / 2 };
}

/** Zooms by `factor`, keeping the picture point under canvas point (cx, cy) in its place. */
export function zoomedAt(view: Viewport, factor: number, cx: number, cy: number, picture: Size, canvas: Size, closest = CLOSEST): Viewport {
  const least = fitted(picture, canvas).scale / 2;
  const scale = Math.min(closest, Math.max(least, view.scale * factor));
  const k = scale / view.scale;
  return held({ scale, x: cx - k * (cx - view.x), y: cy - k * (cy - view.y) }, picture, canvas);
}

/** The view moved by (dx, dy) CSS pixels, no farther than the picture's edge. */
export function moved(view: Viewport, dx: number, dy: number, picture: Size, canvas: Size): Viewport {
  return held({ scale: view.scale, x: view.x + dx, y: view.y + dy }, picture, canvas);
}

/** Shows picture point (px, py) in the middle at the given scale. */
export function centredOn(px: number, py: number, scale: number, picture: Size, canvas: Size): Viewport {
  return held({ scale, x: canvas.width / 2 - scale * px, y: canvas.height / 2 - scale * py }, picture, canvas);
}

/** Keeps a piece of the picture in sight, so that it cannot be lost off the edge. */
function held(view: Viewport, picture: Size, canvas: Size): Viewport {
  const keep = 60;
  const x = Math.min(canvas.width - keep, Math.max(keep - view.scale * picture.width, view.x));
  const y = Math.min(canvas.height - keep, Math.max(keep - view.scale * picture.height, view.y));
  return { scale: view.scale, x, y };
}
