import { writeFile } from "node:fs/promises";
import path from "node:path";
import { app, type BrowserWindow, dialog, protocol, session } from "electron";
import { filesOf } from "../host/door/files.ts";
import { openHost } from "../host/host.ts";
import { programFolder } from "../host/programFolder.ts";
import { leaveCrashNote, takeCrashNote } from "./crashNote.ts";
import { guardContents, guardPermissions } from "./guard.ts";
import { listenTo } from "./listen.ts";
import { setMenu } from "./menu.ts";
import { filesIn } from "./openedFiles.ts";
import { SCHEME, schemeHandler } from "./scheme.ts";
import { openWindow } from "./window.ts";

const place = (name: string): string => path.join(app.getPath("userData"), name);
let window: BrowserWindow | null = null;
let pageIsReady = false;
let waiting: string[] = [];

// Before anything else: a second start hands its files to the first and leaves.
if (app.requestSingleInstanceLock()) begin();
else app.quit();

function begin(): void {
  protocol.registerSchemesAsPrivileged([{ scheme: SCHEME, privileges: { standard: true, secure: true, supportFetchAPI: true, stream: true } }]);
  app.enableSandbox();
  guardContents();
  app.on("second-instance", (_event, args, folder) => {
    if (window?.isMinimized()) window.restore();
    window?.focus();
    hand(filesIn(args.slice(1), folder));
  });
  app.on("open-file", (event, file) => {
    event.preventDefault();
    hand([file]);
  });
  app.on("render-process-gone", (_event, _contents, { reason }) => leaveCrashNote(place("crash.txt"), `The screens stopped: ${reason}.`, new Date()));
  process.on("uncaughtException", fail);
  process.on("unhandledRejection", fail);
  app.on("window-all-closed", () => app.quit());
  app.whenReady().then(open, fail);
}

async function open(): Promise<void> {
  const note = takeCrashNote(place("crash.txt"));
  if (note) void dialog.showMessageBox({ type: "info", message: "Kerfmark stopped unexpectedly last time. Everything that was recorded is in the library.", detail: note });
  const host = await openHost();
  app.on("will-quit", () => void host.close());
  protocol.handle(SCHEME, schemeHandler(host.app, await filesOf(path.join(programFolder(), "dist/renderer"))));
  guardPermissions(session.defaultSession);
  listenTo("take-files", takeFiles);
  listenTo("remember-file", ({ path: file }) => app.addRecentDocument(file));
  listenTo("save-pdf", ({ name, paper }) => savePdf(name, paper));
  setMenu(() => window);
  waiting.push(...filesIn(process.argv.slice(app.isPackaged ? 1 : 2), process.cwd()));
  window = openWindow(place("window.json"));
  window.on("closed", () => (window = null));
}

/** Gives files to the page, or keeps them until it asks. */
function hand(files: readonly string[]): void {
  if (files.length === 0) return;
  if (pageIsReady && window) window.webContents.send("files-opened", files);
  else waiting.push(...files);
}

function takeFiles(): string[] {
  pageIsReady = true;
  const files = waiting;
  waiting = [];
  return files;
}

/** Prints the page to a PDF at a place the user chooses. False where he chose none. */
async function savePdf(name: string, pageSize: "A4" | "Letter"): Promise<boolean> {
  if (!window) return false;
  const { canceled, filePath } = await dialog.showSaveDialog(window, { defaultPath: `${name}.pdf`, filters: [{ name: "PDF", extensions: ["pdf"] }] });
  if (canceled || !filePath) return false;
  await writeFile(filePath, await window.webContents.printToPDF({ pageSize, printBackground: true }));
  return true;
}

function fail(error: unknown): void {
  const what = error instanceof Error ? (error.stack ?? error.message) : String(error);
  leaveCrashNote(place("crash.txt"), what, new Date());
  console.error(what);
  app.exit(70);
}
