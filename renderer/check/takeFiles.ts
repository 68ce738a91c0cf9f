import { desk } from "../desk/useDesk.ts";

/** Takes in what was dropped, pasted or opened: a job file opens its job, everything else is a picture. */
export async function takeFiles(files: readonly File[]): Promise<void> {
  const jobFile = files.find((file) => file.name.endsWith(".json"));
  if (jobFile) await desk.openJob(await jobFile.text());
  const others = files.filter((file) => !file.name.endsWith(".json"));
  const pictures = others.filter((file) => !DRAWING.test(file.name));
  if (pictures.length > 0) await desk.add(pictures);
  if (pictures.length < others.length) desk.refuse("drawing");
}

const DRAWING = /\.(pdf|svg|dxf)$/i;
