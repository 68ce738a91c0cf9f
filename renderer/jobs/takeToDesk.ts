import type { KeepAnswer } from "../../electron/host/app/routes/jobRoutes.ts";
import type { DraftJob } from "../../electron/host/library/drafts.ts";
import { desk } from "../desk/useDesk.ts";
import { client, read } from "../frame/client.ts";
import { go } from "../frame/useHash.ts";
import type { Finding } from "./worker/protocol.ts";

/** Keeps the job as a version and lays it on the check desk. Returns what it lacks where it is no whole job yet; nothing has changed then. */
export async function takeToDesk(id: number): Promise<readonly Finding[]> {
  const answer = await read<KeepAnswer>(client.api.jobs[":id"].versions.$post({ param: { id: String(id) } }));
  if (!answer.kept) return answer.faults;
  await layOnDesk(answer.page.content);
  return [];
}

/** Opens a whole job on the check desk and goes there. */
export async function layOnDesk(job: DraftJob): Promise<void> {
  await desk.openJob(JSON.stringify(job));
  go("check");
}
