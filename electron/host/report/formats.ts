/** The formats of a report, as they are asked for and as a file's ending. */
export const REPORT_FORMATS = ["pdf", "html", "csv", "json"] as const;

export type ReportFormat = (typeof REPORT_FORMATS)[number];
