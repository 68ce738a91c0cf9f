import { existsSync, readFileSync } from "node:fs";
import path from "node:path";
import { type App, createApp } from "./app/app.ts";
import type { DeskState } from "./app/routes/deskRoutes.ts";
import { openLibrary } from "./library/library.ts";
import { defaultLibraryFolder, deskFolder } from "./library/place.ts";
import { MeasurePool } from "./measure/pool.ts";
import { programFolder } from "./programFolder.ts";

export interface Host {
  readonly app: { fetch(request: Request): Response | Promise<Response> };
  close(): Promise<void>;
}

export interface HostOptions {
  /** The library's folder; default: KERFMARK_LIBRARY, else the system's place for programs' data. */
  readonly library?: string;
  /** Lay the sample sheet on the desk. */
  readonly withSample?: boolean;
  /** The system's dialog for choosing a folder, where there is one. */
  readonly chooseFolder?: () => Promise<string | null>;
}

/** Puts the application together for a door: records, measuring threads, samples. */
export async function openHost({ library: folder = defaultLibraryFolder(), withSample = false, chooseFolder }: HostOptions = {}): Promise<Host> {
  const library = await openLibrary(folder);
  const pool = new MeasurePool();
  const home = programFolder();
  const samplesDir = path.join(home, "samples");
  const stopping = new AbortController();
  const app = createApp({
    pool, library, samplesDir, dataDir: deskFolder(folder), phoneDir: path.join(home, "dist/phone"), version: versionIn(home), stopping: stopping.signal, chooseFolder,
  });
  if (withSample && existsSync(samplesDir) && !(await isDeskTaken(app))) await app.request("/api/desk/sample", { method: "POST" });
  return {
    app,
    close: async () => {
      stopping.abort();
      await pool.close();
      await library.close();
    },
  };
}

/** Whether pictures that were not measured the last time lie on the desk: they go before the sample. */
async function isDeskTaken(app: App): Promise<boolean> {
  const { job } = (await (await app.request("/api/desk")).json()) as DeskState;
  return job !== null;
}

function versionIn(folder: string): string {
  return (JSON.parse(readFileSync(path.join(folder, "package.json"), "utf8")) as { version: string }).version;
}
