import type { KeepAnswer } from "../../electron/host/app/routes/jobRoutes.ts";
import { desk } from "../desk/useDesk.ts";
import { client, read } from "../frame/client.ts";
import { go } from "../frame/useHash.ts";
import type { Finding } from "./work/protocol.ts";

/** Keeps the job as a version and lays it on the check desk. Returns what it lacks where it is no whole job yet; nothing has changed then. */
export async function takeToDesk(id: number): Promise<readonly Finding[]> {
  const answer = await read<KeepAnswer>(client.api.jobs[":id"].versions.$post({ param: { id: String(id) } }));
  if (!answer.kept) return answer.faults;
  await desk.openJob(JSON.stringify(answer.page.content));
  go("check");
  return [];
}
