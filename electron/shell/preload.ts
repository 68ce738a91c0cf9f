import { contextBridge, ipcRenderer, webUtils } from "electron";
import type { MenuCommand, ShellBridge } from "./messages.ts";

/** All that the page gets from the shell: five functions, no channel by a name of its choosing, no event object. */
const bridge: ShellBridge = {
  pathOf: (file) => webUtils.getPathForFile(file),
  savePdf: (name, paper) => ipcRenderer.invoke("save-pdf", { name, paper }) as Promise<boolean>,
  rememberFile: (path) => ipcRenderer.invoke("remember-file", { path }) as Promise<void>,
  openedFiles: (listener) => {
    ipcRenderer.on("files-opened", (_event, paths: string[]) => listener(paths));
    return ipcRenderer.invoke("take-files", {}) as Promise<string[]>;
  },
  onMenu: (listener) => void ipcRenderer.on("menu", (_event, command: MenuCommand) => listener(command)),
};

contextBridge.exposeInMainWorld("kerfmark", bridge);
