import path from "node:path";
import { BrowserWindow, dialog, screen } from "electron";
import { ORIGIN } from "./scheme.ts";
import type { ShellWords } from "./words.ts";
import { onScreen, readWindowState, writeWindowState } from "./windowState.ts";

/** Opens the program's window where it was last. The page is a stranger: sandboxed, isolated, without Node. */
export function openWindow(stateFile: string, words: ShellWords): BrowserWindow {
  const state = onScreen(readWindowState(stateFile), screen.getAllDisplays().map((display) => display.workArea));
  const window = new BrowserWindow({
    width: state?.width ?? 1280,
    height: state?.height ?? 860,
    ...(state ? { x: state.x, y: state.y } : {}),
    minWidth: 480,
    minHeight: 360,
    show: false,
    webPreferences: {
      preload: path.join(import.meta.dirname, "preload.cjs"),
      contextIsolation: true,
      sandbox: true,
      nodeIntegration: false,
      webSecurity: true,
      webviewTag: false,
      navigateOnDragDrop: false,
      spellcheck: false,
    },
  });
  if (state?.maximized) window.maximize();
  window.once("ready-to-show", () => window.show());
  window.on("close", () => writeWindowState(stateFile, { ...window.getNormalBounds(), maximized: window.isMaximized() }));
  // The page holds itself open while pictures are on their way; the browser would ask, here nobody does but us.
  window.webContents.on("will-prevent-unload", (event) => {
    const { sending: message, sendingDetail: detail, wait, leave } = words;
    if (dialog.showMessageBoxSync(window, { type: "question", message, detail, buttons: [wait, leave], defaultId: 0, cancelId: 0 }) === 1) event.preventDefault();
  });
  void window.loadURL(`${ORIGIN}/`);
  return window;
}
