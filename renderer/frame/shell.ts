import type { ShellBridge } from "../../electron/host/app/shellBridge.ts";
import { desk } from "../desk/useDesk.ts";
import { go } from "./useHash.ts";

declare global {
  interface Window {
    /** There where the page is in a window of our own, not in a browser. */
    readonly kerfmark?: ShellBridge;
  }
}

/** Follows what the window's shell tells: files opened with the program, places chosen in the menu. */
export function listenToShell(): void {
  window.kerfmark?.onDeskChanged(() => {
    go("check");
    void desk.refresh("shell");
  });
  window.kerfmark?.onGo((place) => go(place));
}
