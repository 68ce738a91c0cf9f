import { lazy } from "react";
import { useWhere } from "../frame/useHash.ts";
import { CheckPlace } from "./CheckPlace.tsx";

const RecordedSheet = lazy(() => import("../runs/sheet/RecordedSheet.tsx"));

/** The Check screen: what lies on the desk, or at `#check/run/RUN/CHECK` a recorded check. */
export function CheckOrRecord() {
  const { rest: [what, run, check] } = useWhere();
  return what === "run" && run && check ? <RecordedSheet run={run} check={check} /> : <CheckPlace />;
}
