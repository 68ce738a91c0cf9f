import { useWhere } from "../frame/useHash.ts";
import { PrintList } from "./aside/PrintList.tsx";
import { RecordsPage } from "./records/RecordsPage.tsx";
import { RunList } from "./RunList.tsx";
import { RunPage } from "./RunPage.tsx";
import { TrayPage } from "./tray/TrayPage.tsx";

/** Runs: the list of them, the tray, or the one run that the address names, with its tab. */
export default function RunsPlace() {
  const { rest: [first, tab, check] } = useWhere();
  if (first === undefined) return <RunList />;
  if (first === "records") return <RecordsPage />;
  if (first === "tray") return <TrayPage />;
  if (tab === "print") return <PrintList id={first} />;
  return <RunPage key={first} id={first} tab={tab} check={check} />;
}
