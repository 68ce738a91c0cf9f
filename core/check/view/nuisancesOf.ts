import type { ProfileMatch } from "../../camera/match.ts";
import type { PlaneMap } from "../../marks/localMap.ts";
import type { Picture } from "../../image/picture.ts";
import type { Job } from "../../job/schema.ts";
import { eyeOver } from "./eyeOver.ts";
import { boardNuisance, correctedLens, profileNuisance, wavyNuisance, type Nuisance } from "./nuisance.ts";
import type { Solution } from "../fit/solution.ts";
import { planeMap, viewOf, type LensMap, type ViewFrame } from "./viewModel.ts";

/**
 * What displaces one picture smoothly: the rest of a profile's lens, and for a camera a board that is not flat; a scanner sees everything from straight above.
 * @param start view terms near enough to tell where the camera stands.
 */
export function nuisancesOf(picture: Pick<Picture, "width" | "height" | "exif">, job: Pick<Job, "sheet">, profile: ProfileMatch | null, start: Float64Array, frame: ViewFrame, flat: boolean): Nuisance[] {
  const known = profileNuisance(profile, picture.width, picture.height);
  if (flat || profile?.kind === "scanner") return known;
  const view = viewOf(start, frame);
  const eye = eyeOver(view, picture, profile);
  return eye ? [...known, boardNuisance(job.sheet, view, eye)] : known;
}

/** Waves of the board, which are looked for where a picture shows them; null where a scanner holds the board flat. `start`: view terms near enough to tell where the camera stands. */
export function wavesOf(picture: Pick<Picture, "width" | "height" | "exif">, job: Pick<Job, "sheet">, profile: ProfileMatch | null, start: Float64Array, frame: ViewFrame, flat: boolean): Nuisance | null {
  if (flat || profile?.kind === "scanner") return null;
  const view = viewOf(start, frame);
  const eye = eyeOver(view, picture, profile);
  return eye && wavyNuisance(job.sheet, view, eye);
}

/** Both ways through a solution's view, with the displacements that it found. */
export function mapOf({ view, nuisance, data: { frame, nuisances = [] } }: Solution, lens: LensMap | null): PlaneMap {
  return planeMap(view, frame, correctedLens(lens, nuisances, nuisance));
}
