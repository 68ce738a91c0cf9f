import type { Library } from "../library/library.ts";
import { AppFault } from "./fault.ts";
import type { AppServices } from "./services.ts";

/** The shop's records. @throws AppFault 503 where the program runs without a library */
export function recordsOf({ library }: Pick<AppServices, "library">): Library {
  if (!library) throw new AppFault(503, "no-library", "There is no library here, so no runs are kept.", "Start Kerfmark with a library folder.");
  return library;
}
