import { exportDxf } from "../../../core/job/export/dxf.ts";
import { exportNumbered, type NumberedOptions } from "../../../core/job/export/numbered.ts";
import type { Exported, ExportOptions } from "../../../core/job/export/overlay.ts";
import { exportPdf } from "../../../core/job/export/pdf.ts";
import { exportSvg } from "../../../core/job/export/svg.ts";
import type { Job } from "../../../core/job/schema.ts";
import type { OutFormat } from "./protocol.ts";

/** The job's overlay in a format. */
export async function overlay(job: Job, format: OutFormat, options: ExportOptions): Promise<Exported<Uint8Array<ArrayBuffer> | string>> {
  if (format === "pdf") return own(await exportPdf(job, options));
  return format === "svg" ? exportSvg(job, options) : exportDxf(job, options);
}

/** One page to each sheet, with its number in the job's codes. */
export async function numbered(job: Job, options: NumberedOptions): Promise<Exported<Uint8Array<ArrayBuffer>>> {
  return own(await exportNumbered(job, options));
}

/** The same bytes in memory of their own, as files are made of. */
function own(made: Exported<Uint8Array>): Exported<Uint8Array<ArrayBuffer>> {
  return made.ok ? { ...made, file: new Uint8Array(made.file) } : made;
}
