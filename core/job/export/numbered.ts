import { writePayload } from "../payload.ts";
import { qrSymbol } from "../qr.ts";
import type { Job } from "../schema.ts";
import { LAYER_NAMES } from "../layerNames.ts";
import { codeRuns, MOST_PAGES, overlayOf, type Exported, type OverlayLayer } from "./overlay.ts";
import { startPdf, units } from "./pdf.ts";

export interface NumberedOptions {
  /** Number of the first sheet, and how many. */
  readonly from: number;
  readonly count: number;
  /** Numbers get zeros in front to this many digits; none where not given. */
  readonly digits?: number;
  /** Draw the marks on every page too; false where not given. */
  readonly marks?: boolean;
  /** Called after every hundred pages: for a progress bar, to let others have the processor, or to stop by throwing. */
  readonly onPages?: (done: number, of: number) => Promise<void> | void;
}

/**
 * A PDF with one page to each sheet, of the sheet's true size, that holds the job's codes with that sheet's number: to be laid over the print as
 * variable data. All symbols of a code have one size, whatever the number.
 */
export async function exportNumbered(job: Job, options: NumberedOptions): Promise<Exported<Uint8Array>> {
  const refused = refusalOf(job, options);
  if (refused) return refused;
  const texts = Array.from({ length: options.count }, (_, i) => String(options.from + i).padStart(options.digits ?? 0, "0"));
  const textOf = (pattern: string, sheet: string) => writePayload(pattern, { job: job.id, sheet });
  // Numbers of as many digits need symbols of one size; the largest does for all.
  const longest = texts.filter((t, i) => i === texts.length - 1 || t.length < texts[i + 1].length);
  const versions = job.codes.map((code) => Math.max(...longest.map((sheet) => qrSymbol(textOf(code.payload, sheet))?.version ?? Infinity)));
  if (!versions.every(Number.isFinite)) return { ok: false, reason: "A code's text is too long for a QR code.", hint: "Shorten its payload or the job's id." };
  const marks = options.marks ? overlayOf(job, { parts: ["marks"] }) : null;
  const codes: OverlayLayer = { part: "codes", key: "codes", name: LAYER_NAMES.codes, shapes: [] };
  const layers = [...(marks?.ok ? marks.overlay.layers : []), codes];
  const pdf = await startPdf({ title: `${job.name || job.id}, sheets ${texts[0]} to ${texts[texts.length - 1]}`, width: job.sheet.width, height: job.sheet.height, layers });
  const shared = marks?.ok ? [pdf.context.register(pdf.context.flateStream(pdf.content(marks.overlay.layers)))] : [];
  const pages = [];
  for (const [i, sheet] of texts.entries()) {
    let drawn = "";
    for (const [k, code] of job.codes.entries()) {
      const symbol = qrSymbol(textOf(code.payload, sheet), versions[k]);
      // A text of as many digits has been seen to fit.
      if (!symbol) throw new Error(`The payload of sheet ${sheet} does not fit the symbol of its series.`);
      const n = (v: number) => units(v, pdf.perMm);
      for (const { x, y, width, height } of codeRuns(code, symbol)) drawn += `${n(x)} ${n(y)} ${n(width)} ${n(height)} re\n`;
      drawn += "f\n";
    }
    pages.push([...shared, pdf.context.register(pdf.context.flateStream(pdf.onLayer(codes, drawn)))]);
    if ((i + 1) % 100 === 0) await options.onPages?.(i + 1, texts.length);
  }
  const fixed = job.codes.filter((c) => !c.payload.includes("{sheet}")).length;
  return { ok: true, file: await pdf.finish(pages), notes: fixed > 0 ? [`${fixed} of the job's codes ${fixed === 1 ? "has" : "have"} no {sheet} in the payload and ${fixed === 1 ? "is" : "are"} the same on every page.`] : [] };
}

function refusalOf(job: Job, { from, count, digits = 0 }: NumberedOptions): Extract<Exported<never>, { ok: false }> | null {
  if (!job.codes.some((c) => c.payload.includes("{sheet}"))) return { ok: false, reason: "The job has no code that holds the sheet's number.", hint: 'Add a code with {sheet} in its payload, as "job={job};sheet={sheet}".' };
  if (!Number.isInteger(count) || count < 1 || count > MOST_PAGES) return { ok: false, reason: `${count} is not a number of pages.`, hint: `Ask for 1 to ${MOST_PAGES} pages at a time.` };
  if (!Number.isInteger(from) || from < 0 || from > 999_999_999) return { ok: false, reason: `${from} is not the number of a sheet.`, hint: "Give a whole number from 0 on." };
  if (!Number.isInteger(digits) || digits < 0 || digits > 12) return { ok: false, reason: `${digits} is not a number of digits.`, hint: "Give 0 to 12." };
  return null;
}
