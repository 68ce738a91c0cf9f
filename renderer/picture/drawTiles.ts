import type { TileStore } from "./tileStore.ts";
import type { Size, Viewport } from "./viewport.ts";

/**
 * Draws the picture: sharp tiles of the fitting level, and the reduced copy underneath as long as one of them is missing.
 * @param ratio device pixels per CSS pixel; the level is chosen so that a tile's pixel is at least about a device pixel.
 */
export function drawTiles(
  g: CanvasRenderingContext2D, view: Viewport, canvas: Size, reduced: ImageBitmap | null, tiles: TileStore | null, size: Size, ratio: number,
): void {
  g.imageSmoothingEnabled = view.scale * ratio < 3;
  const underneath = () => reduced && g.drawImage(reduced, view.x, view.y, size.width * view.scale, size.height * view.scale);
  if (!tiles) return void underneath();
  const { levels, tile } = tiles.pyramid;
  if (reduced && reduced.width >= size.width * view.scale * ratio * 0.9) {
    underneath();
    return tiles.want([]);
  }
  const level = Math.min(levels - 1, Math.max(0, Math.ceil(levels - 1 + Math.log2(view.scale * ratio) - 0.3)));
  const step = 2 ** (levels - 1 - level);
  const span = tile * step;
  const range = (offset: number, extent: number, whole: number) => ({
    from: Math.max(0, Math.floor(-offset / view.scale / span)),
    to: Math.min(Math.ceil(whole / span) - 1, Math.floor((extent - offset) / view.scale / span)),
  });
  const columns = range(view.x, canvas.width, size.width);
  const rows = range(view.y, canvas.height, size.height);
  const here: { bitmap: ImageBitmap; x: number; y: number }[] = [];
  const wanted: { key: string; far: number }[] = [];
  for (let row = rows.from; row <= rows.to; row++) {
    for (let column = columns.from; column <= columns.to; column++) {
      const x = view.x + column * span * view.scale;
      const y = view.y + row * span * view.scale;
      const bitmap = tiles.get(level, column, row);
      if (bitmap) here.push({ bitmap, x, y });
      else wanted.push({ key: `${level}/${column}/${row}`, far: Math.hypot(x - canvas.width / 2, y - canvas.height / 2) });
    }
  }
  if (wanted.length > 0) underneath();
  for (const { bitmap, x, y } of here) g.drawImage(bitmap, x, y, bitmap.width * step * view.scale, bitmap.height * step * view.scale);
  tiles.want(wanted.sort((a, b) => a.far - b.far).map((one) => one.key));
}
