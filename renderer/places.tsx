import { type ComponentType, lazy } from "react";
import { CheckOrRecord } from "./check/CheckOrRecord.tsx";
import type { Place } from "./frame/useHash.ts";

/** The places of the rail, in its order; a place is one line here. All but the first are loaded when gone to. */
export const PLACES: readonly { readonly name: Place; readonly Page: ComponentType }[] = [
  { name: "check", Page: CheckOrRecord },
  { name: "runs", Page: lazy(() => import("./runs/RunsPlace.tsx")) },
  { name: "jobs", Page: lazy(() => import("./jobs/JobsPlace.tsx")) },
  { name: "cameras", Page: lazy(() => import("./cameras/CamerasPlace.tsx")) },
  { name: "guide", Page: lazy(() => import("./guide/GuidePlace.tsx")) },
  { name: "settings", Page: lazy(() => import("./settings/SettingsPlace.tsx")) },
];
