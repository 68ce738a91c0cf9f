import { useSyncExternalStore } from "react";
import { DeskStore, type DeskView } from "./deskStore.ts";

export const desk = new DeskStore();

export function useDesk(): DeskView {
  return useSyncExternalStore(desk.subscribe, desk.snapshot);
}
