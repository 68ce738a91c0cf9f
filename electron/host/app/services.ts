import type { Library } from "../library/library.ts";
import type { MeasurePool } from "../measure/pool.ts";

/** Whatever measures pictures: the worker pool in the program, a stand-in in tests. */
export type Checker = Pick<MeasurePool, "workers" | "check" | "sort" | "preview" | "rewriteHeic">;

/** What the application behind the screens is made of. */
export interface AppServices {
  readonly pool: Checker;
  /** The shop's records; without them sheets are checked, but no run is kept. */
  readonly library?: Library;
  /** Folder of the program's own files: settings, pictures taken in, tiles. */
  readonly dataDir: string;
  /** Folder with the sample job and its pictures. */
  readonly samplesDir: string;
  readonly version: string;
  /** Folder of the phone's page as built; without it phones cannot be let in. */
  readonly phoneDir?: string;
  /** The system's dialog for choosing a folder, where the program has a window of its own; null where it was closed. */
  readonly chooseFolder?: () => Promise<string | null>;
  /** Aborted when the program closes: what was opened on the way is closed then. */
  readonly stopping?: AbortSignal;
}
