import path from "node:path";
import { app, type BrowserWindow, dialog, type OpenDialogOptions, protocol, session } from "electron";
import { filesOf } from "../host/door/files.ts";
import { type Host, openHost } from "../host/host.ts";
import { programFolder } from "../host/programFolder.ts";
import { leaveCrashNote, takeCrashNote } from "./crashNote.ts";
import { guardContents, guardPermissions } from "./guard.ts";
import { layFiles } from "./layFiles.ts";
import { setMenu } from "./menu.ts";
import { filesIn, KINDS } from "./openedFiles.ts";
import { SCHEME, schemeHandler } from "./scheme.ts";
import { openWindow } from "./window.ts";
import { type ShellWords, shellWords } from "./words.ts";

const place = (name: string): string => path.join(app.getPath("userData"), name);
let window: BrowserWindow | null = null;
let host: Host | undefined;
const waiting: string[] = [];

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
    lay(filesIn(args.slice(1), folder)).catch(fail);
  });
  app.on("open-file", (event, file) => {
    event.preventDefault();
    lay([file]).catch(fail);
  });
  app.on("render-process-gone", (_event, _contents, { reason }) => leaveCrashNote(place("crash.txt"), `The screens stopped: ${reason}.`, new Date()));
  process.on("uncaughtException", fail);
  process.on("unhandledRejection", fail);
  app.on("window-all-closed", () => app.quit());
  app.whenReady().then(open, fail);
}

async function open(): Promise<void> {
  const words = shellWords(app.getLocale());
  const note = takeCrashNote(place("crash.txt"));
  if (note) void dialog.showMessageBox({ type: "info", message: words.crashed, detail: note });
  host = await openHost({ chooseFolder: () => chooseFolder(words) });
  app.on("will-quit", () => void host?.close());
  protocol.handle(SCHEME, schemeHandler(host.app, await filesOf(path.join(programFolder(), "dist/renderer"))));
  guardPermissions(session.defaultSession);
  setMenu(words, { open: () => void choose(words), print: () => window?.webContents.print(), go: (where) => window?.webContents.send("go", where) });
  await lay([...waiting, ...filesIn(process.argv.slice(app.isPackaged ? 1 : 2), process.cwd())]);
  window = openWindow(place("window.json"), words);
  window.on("closed", () => (window = null));
}

/** Lays files on the desk and tells the page; files that come before the host is there wait for it. */
async function lay(files: readonly string[]): Promise<void> {
  if (!host) return void waiting.push(...files);
  if (files.length === 0) return;
  for (const file of files) app.addRecentDocument(file);
  const faults = await layFiles(host.app, files);
  window?.webContents.send("desk-changed");
  if (faults.length > 0) void dialog.showMessageBox({ type: "warning", message: shellWords(app.getLocale()).notTaken, detail: faults.join("\n") });
}

async function choose({ open: title, kinds }: ShellWords): Promise<void> {
  const { filePaths } = await dialog.showOpenDialog({ title, properties: ["openFile", "multiSelections"], filters: [{ name: kinds, extensions: KINDS }] });
  await lay(filePaths);
}

/** The system's own dialog, when the page asks the application for a folder. */
async function chooseFolder({ folder: title }: ShellWords): Promise<string | null> {
  const options: OpenDialogOptions = { title, properties: ["openDirectory", "createDirectory"] };
  const { filePaths } = await (window ? dialog.showOpenDialog(window, options) : dialog.showOpenDialog(options));
  return filePaths[0] ?? null;
}

function fail(error: unknown): void {
  const what = error instanceof Error ? (error.stack ?? error.message) : String(error);
  leaveCrashNote(place("crash.txt"), what, new Date());
  console.error(what);
  app.exit(70);
}
