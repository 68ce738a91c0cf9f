import type { Picture } from "./picture.ts";

/**
 * Coded sample to linear light, 0..1, as a table over all codes of the picture's depth.
 *
 * A blurred edge between dark and bright is symmetric in light, not in coded values: edges located on coded values move
 * towards the dark side, so everything sub-pixel works on this table's output. Source: IEC 61966-2-1 (sRGB) transfer curve.
 */
export function linearTable(picture: Picture): Float32Array {
  const known = tables.get(picture);
  if (known) return known;
  const codes = picture.data instanceof Uint16Array ? 65536 : 256;
  const table = new Float32Array(codes);
  for (let code = 0; code < codes; code++) {
    const v = code / (codes - 1);
    table[code] = picture.transfer === "linear" ? v : v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
  }
  tables.set(picture, table);
  return table;
}

/** A picture is sampled by many; a 16-bit table is worth keeping. */
const tables = new WeakMap<Picture, Float32Array>();
