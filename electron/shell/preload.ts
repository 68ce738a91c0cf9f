import { contextBridge, ipcRenderer } from "electron";
import type { ShellBridge } from "../host/app/shellBridge.ts";

/** All that the page gets from the shell: two ways to be told something. It cannot send, and sees no event object. */
const bridge: ShellBridge = {
  onDeskChanged: (listener) => void ipcRenderer.on("desk-changed", () => listener()),
  onGo: (listener) => void ipcRenderer.on("go", (_event, place: "settings" | "guide") => listener(place)),
};

contextBridge.exposeInMainWorld("kerfmark", bridge);
