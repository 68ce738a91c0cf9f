import { Hono } from "hono";
import { z } from "zod";
import { REPORT_FORMATS, type ReportFormat } from "../../report/formats.ts";
import type { Subject } from "../../report/report.ts";
import { styleBy } from "../../report/style.ts";
import type { Desk } from "../desk.ts";
import { AppFault } from "../fault.ts";
import type { Logo } from "../logo.ts";
import { noJob } from "../measure.ts";
import { localTime } from "../../localTime.ts";
import { recordsOf } from "../records.ts";
import type { AppServices } from "../services.ts";
import type { SettingsFile } from "../settings.ts";
import { query } from "./valid.ts";

const TYPES: Readonly<Record<ReportFormat, string>> = {
  pdf: "application/pdf", html: "text/html; charset=utf-8", csv: "text/csv; charset=utf-8", json: "application/json; charset=utf-8",
};

const asked = z.object({ format: z.enum(REPORT_FORMATS), language: z.enum(["en", "de"]) });

/** Reports as files: of a picture on the desk, and of a run; written as the settings say. */
export function reportRoutes(services: AppServices, desk: Desk, settings: SettingsFile, logo: Logo) {
  const make = async (subject: Subject, name: string, { format, language }: z.infer<typeof asked>): Promise<Response> => {
    const style = styleBy(await settings.read(), language, await logo.read());
    const { makeReport } = await import("../../report/report.ts");
    const bytes = await makeReport(subject, format, style);
    const file = `${name.replace(/[^\p{L}\p{N}._-]+/gu, "-")}.${format}`;
    return new Response(new Uint8Array(bytes), { headers: { "content-type": TYPES[format], "cache-control": "no-store", "content-disposition": `attachment; filename*=UTF-8''${encodeURIComponent(file)}` } });
  };
  return new Hono()
    .get("/picture/:id", query(asked), async (c) => {
      const subject = await sheetOnDesk(services, desk, c.req.param("id"));
      return make(subject, `${subject.job.id}-${subject.record.sheet ?? subject.record.image}`, c.req.valid("query"));
    })
    .get("/run/:id", query(asked), async (c) => {
      const { gatherRun } = await import("../../report/gather.ts");
      const facts = await gatherRun(recordsOf(services), Number(c.req.param("id")));
      return make({ of: "run", ...facts }, `${facts.job.id}-${facts.name}`, c.req.valid("query"));
    });
}

/** What is known of a picture on the desk, whether or not a run keeps it. @throws AppFault where it is not measured yet */
async function sheetOnDesk({ library }: AppServices, desk: Desk, id: string): Promise<Extract<Subject, { of: "sheet" }>> {
  const { outcome, takenInAt } = desk.picture(id);
  if (!desk.job) throw noJob();
  if (!outcome) throw new AppFault(409, "not-measured", "This picture has not been measured yet.", "Wait for its verdict.");
  const { record, overlay } = outcome;
  const jobVersion = library && !desk.sample ? (await library.jobs.put(desk.job)).version : undefined;
  const { drawDeviations } = await import("../../report/picture.ts");
  const picture = overlay ? await drawDeviations(desk.pathOf(id), overlay) : undefined;
  return { of: "sheet", record, job: desk.job, jobVersion, takenAt: localTime(new Date(takenInAt)).slice(0, 16), picture };
}
