import { join } from "node:path";
import { Hono } from "hono";
import { Desk } from "./desk.ts";
import { answerFault } from "./fault.ts";
import { Inbox } from "./inbox.ts";
import { Logo } from "./logo.ts";
import { PhoneStation } from "./phoneStation.ts";
import { withProfiles } from "./profiles.ts";
import { cameraRoutes } from "./routes/cameraRoutes.ts";
import { deskRoutes } from "./routes/deskRoutes.ts";
import { folderRoutes } from "./routes/folderRoutes.ts";
import { gaugeRoutes } from "./routes/gaugeRoutes.ts";
import { jobRoutes } from "./routes/jobRoutes.ts";
import { phoneRoutes } from "./routes/phoneRoutes.ts";
import { pictureRoutes } from "./routes/pictureRoutes.ts";
import { recordRoutes } from "./routes/recordRoutes.ts";
import { reportRoutes } from "./routes/reportRoutes.ts";
import { runRoutes } from "./routes/runRoutes.ts";
import { settingsRoutes } from "./routes/settingsRoutes.ts";
import { trayRoutes } from "./routes/trayRoutes.ts";
import type { AppServices } from "./services.ts";
import { SettingsFile } from "./settings.ts";

/**
 * The application behind every face, as one `fetch(Request) -> Response` handler. The doors (loopback, Electron's scheme)
 * put it behind their own checks and add the renderer's files.
 */
export function createApp(given: AppServices) {
  const inbox = Inbox.open(join(given.dataDir, "inbox"));
  given.stopping?.addEventListener("abort", () => inbox.close());
  const desk = new Desk(inbox);
  const settings = new SettingsFile(join(given.dataDir, "settings.json"));
  const services = { ...given, pool: withProfiles(given, settings) };
  const logo = new Logo(services.dataDir);
  const app = new Hono()
    .basePath("/api")
    .get("/about", (c) => c.json({ version: services.version }))
    .route("/cameras", cameraRoutes(services, settings))
    .route("/desk", deskRoutes(services, desk))
    .route("/folders", folderRoutes(services))
    .route("/gauge", gaugeRoutes(services, desk))
    .route("/jobs", jobRoutes(services.library))
    .route("/pictures", pictureRoutes(services, desk, inbox))
    .route("/phone", phoneRoutes(new PhoneStation(services, desk, inbox, settings)))
    .route("/records", recordRoutes(services))
    .route("/reports", reportRoutes(services, desk, settings, logo))
    .route("/runs", runRoutes(services, desk))
    .route("/tray", trayRoutes(services, desk))
    .route("/settings", settingsRoutes(settings, logo));
  app.onError(answerFault);
  return app;
}

export type App = ReturnType<typeof createApp>;
