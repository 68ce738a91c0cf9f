import type { ReportFormat } from "../../electron/host/report/formats.ts";
import { faultOf, HostFault } from "../frame/client.ts";

/** What a report is about: a picture on the desk, or a run. */
export type About = { readonly picture: string } | { readonly run: number };

/** Has the host write a report and hands it to the browser to keep. @throws HostFault */
export async function downloadReport(about: About, format: ReportFormat, language: string): Promise<void> {
  const of = "picture" in about ? `picture/${encodeURIComponent(about.picture)}` : `run/${about.run}`;
  // Reports are written in English or German; screens in another language get the English one.
  const answer = await fetch(`/api/reports/${of}?format=${format}&language=${language === "de" ? "de" : "en"}`).catch(() => {
    throw new HostFault("offline", "", "");
  });
  if (!answer.ok) throw faultOf(await answer.json().catch(() => null));
  const link = document.createElement("a");
  link.download = decodeURIComponent(/filename\*=UTF-8''([^;]+)/.exec(answer.headers.get("content-disposition") ?? "")?.[1] ?? `report.${format}`);
  link.href = URL.createObjectURL(await answer.blob());
  link.click();
  // The browser has the file once it has begun to write it; a minute is more than that takes.
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}
