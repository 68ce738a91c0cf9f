import type { Separator } from "../../../core/statistics/csv.ts";
import type { ReportContent } from "./content.ts";
import { renderCsv } from "./csv.ts";
import { DECIMAL, type Language, type Manner } from "./figures.ts";
import type { ReportFormat } from "./formats.ts";
import { renderHtml } from "./html.ts";
import type { Paper } from "./pdf.ts";
import { runBlocks, setAsideOf, trendsOf, type RunFacts } from "./runReport.ts";
import { sheetBlocks, type SheetFacts } from "./sheetReport.ts";
import { REPORT_WORDS } from "./words.ts";

/** What a report is about. */
export type Subject = ({ readonly of: "sheet" } & SheetFacts) | ({ readonly of: "run" } & RunFacts);

/** How a report looks. */
export interface ReportStyle {
  readonly language: Language;
  /** Unit of length in PDF, HTML and CSV; default: mm. JSON is the records as they are. */
  readonly units?: Manner["units"];
  /** Decimal sign of PDF, HTML and CSV; default: the language's, a point in a CSV. */
  readonly decimal?: Manner["decimal"];
  /** What divides the columns of a CSV; default: a comma. */
  readonly csvSeparator?: Separator;
  readonly paper: Paper;
  readonly shop: string;
  /** PNG or JPEG. */
  readonly logo?: Uint8Array;
  readonly madeAt: Date;
}

/** Makes a report in one of the formats. */
export async function makeReport(subject: Subject, format: ReportFormat, style: ReportStyle): Promise<Uint8Array> {
  const records = subject.of === "sheet" ? [subject.record] : subject.records;
  if (format === "csv") return Buffer.from(renderCsv(records, style));
  if (format === "json") return Buffer.from(`${JSON.stringify(dataOf(subject, style), null, 2)}\n`);
  const content = contentOf(subject, style);
  if (format === "html") return Buffer.from(renderHtml(content, style.madeAt));
  const { renderPdf } = await import("./pdf.ts");
  return renderPdf(content, style.paper, style.madeAt);
}

function contentOf(subject: Subject, { language, units = "mm", decimal = DECIMAL[language], shop, logo }: ReportStyle): ReportContent {
  const w = REPORT_WORDS[language];
  const about = { shop, logo, language, units, decimal };
  return subject.of === "sheet"
    ? { ...about, title: w.sheetReport, subtitle: `${subject.job.id}, ${subject.record.sheet === undefined ? subject.record.image : `${w.sheet} ${subject.record.sheet}`}`, blocks: sheetBlocks(subject, about) }
    : { ...about, title: w.runReport, subtitle: `${subject.job.id}, ${subject.name}`, blocks: runBlocks(subject, about) };
}

/** The report as data, unrounded. */
function dataOf(subject: Subject, { madeAt, shop }: ReportStyle): object {
  const about = { format: "kerfmark.report/1", madeAt: madeAt.toISOString(), shop, job: subject.job, jobVersion: subject.jobVersion ?? null, profile: subject.profile ?? null };
  if (subject.of === "sheet") return { ...about, takenAt: subject.takenAt ?? null, record: subject.record };
  const { name, sheets, startedAt = null, records, decisions } = subject;
  return { ...about, run: { name, sheets, startedAt }, records, trends: trendsOf(subject).map((t) => t.trend), setaside: setAsideOf(subject), decisions };
}
