import { useWhere } from "../frame/useHash.ts";
import { ImportPage } from "./import/ImportPage.tsx";
import { JobPlace } from "./edit/JobPlace.tsx";
import { JobList } from "./list/JobList.tsx";
import "./jobs.css";

/** Jobs: the list, importing a drawing, or the job that the address names. */
export default function JobsPlace() {
  const { rest } = useWhere();
  if (!rest[0]) return <JobList />;
  if (rest[0] === "import") return <ImportPage />;
  return <JobPlace key={rest[0]} id={rest[0]} tab={rest[1] ?? "edit"} />;
}
