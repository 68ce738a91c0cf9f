import type { Desk, DeskPicture } from "./desk.ts";
import { AppFault } from "./fault.ts";
import { recordCheck } from "./recordCheck.ts";
import type { AppServices } from "./services.ts";

/** Measures a picture that lies on the desk against the open job and enters it in the run; a sample is only shown. @throws AppFault */
export async function measureOnDesk({ pool, library }: AppServices, desk: Desk, id: string, signal: AbortSignal): Promise<DeskPicture> {
  const { name } = desk.picture(id);
  const image = desk.pathOf(id);
  const { job, sample } = desk;
  if (!job) throw noJob();
  const outcome = await pool.check({ image, name, job, signal });
  const kept = library && !sample ? await recordCheck(library, job, image, outcome, new Date()) : undefined;
  return desk.keep(id, outcome, kept);
}

/** The fault of asking for what needs an open job. */
export function noJob(): AppFault {
  return new AppFault(409, "no-job", "No job is open.", "Open the sheet's job first.");
}
