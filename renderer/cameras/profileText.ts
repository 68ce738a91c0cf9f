import type { Profile } from "../../core/camera/profile.ts";
import { distort, type Lens } from "../../core/camera/lens.ts";

/** The camera or scanner as its pictures name it; null where they do not. */
export function statedDevice({ exif }: Pick<Profile, "exif">): string | null {
  return [exif.make, exif.model].filter(Boolean).join(" ") || null;
}

/** How far the lens moves the picture's corner that it moves most, px. */
export function cornerShift(lens: Lens, { width, height }: { readonly width: number; readonly height: number }): number {
  const corners = [[0, 0], [width - 1, 0], [width - 1, height - 1], [0, height - 1]];
  return Math.max(...corners.map(([x, y]) => {
    const q = distort(lens, x, y);
    return Math.hypot(q.x - x, q.y - y);
  }));
}
