import { desk } from "../desk/useDesk.ts";

/** Takes in what was dropped or chosen: a job file opens its job, everything else is a picture. */
export async function takeFiles(files: readonly File[]): Promise<void> {
  const jobFile = files.find((file) => file.name.endsWith(".json"));
  if (jobFile) await desk.openJob(await jobFile.text());
  const pictures = files.filter((file) => !file.name.endsWith(".json"));
  if (pictures.length > 0 && desk.view.job) desk.add(pictures);
}
