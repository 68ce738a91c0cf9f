import type { ProfileMatch } from "../camera/match.ts";
import type { Picture } from "../image/picture.ts";
import type { Sampler } from "../image/sampler.ts";
import type { Job } from "../job/schema.ts";
import type { LensMap } from "./view/viewModel.ts";

/** What every step of a check asks: the picture, its job, and what is known of the lens. */
export interface Subject {
  readonly picture: Picture;
  readonly sampler: Sampler;
  readonly job: Job;
  /** What the camera's or scanner's profile gives for this picture; null where none was given. */
  readonly profile: ProfileMatch | null;
  /** What it takes out of the picture; null where no profile applies. */
  readonly lens: LensMap | null;
}
