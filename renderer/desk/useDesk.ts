import { useSyncExternalStore } from "react";
import { DeskStore, type DeskView } from "./deskStore.ts";

export const desk = new DeskStore();

// The browser asks before it leaves the page while pictures are on their way to the host: those would be lost.
window.addEventListener("beforeunload", (event) => {
  if (desk.isSending()) event.preventDefault();
});

/** The desk, drawn anew when it changes. */
export function useDesk(): DeskView {
  return useSyncExternalStore(desk.subscribe, desk.snapshot);
}
