import { distort, undistort } from "../../camera/lens.ts";
import type { ProfileMatch } from "../../camera/match.ts";
import { straighten, unstraighten } from "../../camera/scanner.ts";
import type { LensMap } from "./viewModel.ts";

/** What a profile takes out of a picture: the lens of a camera, or the faults of a scanner; null where no profile applies. */
export function knownLens(match: ProfileMatch | null): LensMap | null {
  if (match?.kind === "camera") {
    const { lens } = match;
    return {
      distort: (q) => distort(lens, q.x, q.y),
      undistort: (q) => {
        const ideal = undistort(lens, q.x, q.y);
        return ideal.ok ? ideal : null;
      },
    };
  }
  if (match?.kind === "scanner") {
    const { scanner } = match;
    return { distort: (q) => unstraighten(scanner, q), undistort: (q) => straighten(scanner, q) };
  }
  return null;
}
