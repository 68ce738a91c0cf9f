import { readDxf } from "../../core/job/import/dxf.ts";
import { proposeMeanings } from "../../core/job/import/meaning.ts";
import { readPdf } from "../../core/job/import/pdf.ts";
import { readSvg } from "../../core/job/import/svg.ts";
import { draftJob } from "../../core/job/import/toJob.ts";
import { readJob } from "../../core/job/read.ts";
import type { Format } from "./mutations.ts";

/** Reads a damaged file to a job. Gives "read" or "refused"; throws where a refusal is no sentence or a job holds what is no number. */
export async function holds(format: Format, bytes: Uint8Array): Promise<"read" | "refused"> {
  const text = () => new TextDecoder().decode(bytes);
  const read = format === "pdf" ? await readPdf(bytes) : format === "svg" ? readSvg(text()) : readDxf(text(), { unit: 1 });
  if (!read.ok) {
    if (!/^[A-Z].*\.$/s.test(read.reason) || read.hint === "") throw new Error(`No sentence: ${read.reason}`);
    return "refused";
  }
  for (const meanings of [proposeMeanings(read.drawing), read.drawing.groups.map(() => "cut" as const), read.drawing.groups.map(() => "mark" as const)]) {
    const draft = draftJob(read.drawing, meanings, { id: "fuzz" });
    const written = JSON.stringify(draft?.job ?? {});
    if (/NaN|Infinity|null/.test(written)) throw new Error("The job holds what is no number.");
    readJob(written);
  }
  return "read";
}
