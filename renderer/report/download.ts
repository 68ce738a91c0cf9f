import type { ReportFormat } from "../../electron/host/report/formats.ts";
import { faultOf, HostFault } from "../frame/client.ts";
import { saveFile } from "../frame/saveFile.ts";

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
  const name = decodeURIComponent(/filename\*=UTF-8''([^;]+)/.exec(answer.headers.get("content-disposition") ?? "")?.[1] ?? `report.${format}`);
  const file = await answer.blob();
  saveFile(name, file, file.type);
}
