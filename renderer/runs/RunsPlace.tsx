import { useWhere } from "../frame/useHash.ts";
import { RunList } from "./RunList.tsx";
import { RunPage } from "./RunPage.tsx";

/** Runs: the list of them, or the one that the address names. */
export default function RunsPlace() {
  const { rest } = useWhere();
  return rest[0] ? <RunPage key={rest[0]} id={rest[0]} /> : <RunList />;
}
