import type { Desk, DeskPicture } from "./desk.ts";
import { AppFault } from "./fault.ts";
import { recordCheck } from "./recordCheck.ts";
import type { AppServices } from "./services.ts";

/** Measures a picture that lies on the desk against the open job and enters it in the run; a sample is only shown. @throws AppFault */
export async function measureOnDesk({ pool, library }: AppServices, desk: Desk, id: string, signal: AbortSignal): Promise<DeskPicture> {
  const { name } = desk.picture(id);
  const { job } = desk;
  if (!job) throw noJob();
  const outcome = await pool.check({ image: desk.pathOf(id), name, job, signal });
  if (library && !desk.sample) await recordCheck(library, job, desk.pathOf(id), outcome, new Date());
  return desk.keep(id, outcome);
}

export function noJob(): AppFault {
  return new AppFault(409, "no-job", "No job is open.", "Open the sheet's job first.");
}
