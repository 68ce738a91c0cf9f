import { useSyncExternalStore } from "react";

/** The places of the program, each with an icon and a word of the same name; `renderer/places.tsx` says what stands there. */
export type Place = "check" | "runs" | "jobs" | "cameras" | "guide" | "settings";

export interface Where {
  /** The first part of the address; empty at the start, and whatever a reader typed. */
  readonly place: string;
  /** What follows, as the run's number in `#runs/12`. */
  readonly rest: readonly string[];
}

function subscribe(changed: () => void): () => void {
  window.addEventListener("hashchange", changed);
  return () => window.removeEventListener("hashchange", changed);
}

/** Where the reader is, from the address: back and forward work, and a place can be linked to. */
export function useWhere(): Where {
  const hash = useSyncExternalStore(subscribe, () => location.hash);
  const [place = "", ...rest] = hash.slice(1).split("/").filter(Boolean).map(decodeURIComponent);
  return { place, rest };
}

/** Goes to a place, and on to something in it. */
export function go(place: Place, ...rest: string[]): void {
  location.hash = [place, ...rest.map(encodeURIComponent)].join("/");
}
