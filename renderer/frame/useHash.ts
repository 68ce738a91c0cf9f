import { useSyncExternalStore } from "react";

/** The places of the program. A place may have a rest, as the run's number in `#runs/12`. */
export const PLACES = ["check", "runs", "settings"] as const;
export type Place = (typeof PLACES)[number];

export interface Where {
  readonly place: Place;
  readonly rest: readonly string[];
}

function subscribe(changed: () => void): () => void {
  window.addEventListener("hashchange", changed);
  return () => window.removeEventListener("hashchange", changed);
}

/** Where the reader is, from the address: back and forward work, and a place can be linked to. */
export function useWhere(): Where {
  const hash = useSyncExternalStore(subscribe, () => location.hash);
  const [first, ...rest] = hash.slice(1).split("/").filter(Boolean).map(decodeURIComponent);
  const place = PLACES.find((one) => one === first) ?? "check";
  return { place, rest };
}

export function go(place: Place, ...rest: string[]): void {
  location.hash = [place, ...rest.map(encodeURIComponent)].join("/");
}
