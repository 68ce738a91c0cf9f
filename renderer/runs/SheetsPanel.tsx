import { useCallback, useState } from "react";
import { Button } from "react-aria-components";
import { client, read } from "../frame/client.ts";
import { useHost } from "../frame/useHost.ts";
import { VerdictShape } from "../frame/VerdictShape.tsx";
import { Waiting } from "../frame/Waiting.tsx";
import { useShop } from "../settings/useSettings.tsx";
import type { Overview } from "./runData.ts";

const PAGE = 100;

/** Every check of the run in its order, a page at a time; each leads to its sheet. */
export function SheetsPanel({ overview: { run, checks } }: { overview: Overview }) {
  const { words, figures } = useShop();
  const w = words.runs.sheets;
  const [page, setPage] = useState(0);
  const id = String(run.id);
  const [asked] = useHost(useCallback(() => read(client.api.runs[":id"].checks.$get({ param: { id }, query: { offset: String(page * PAGE) } })), [id, page]));
  if (asked.kind !== "ready") return <Waiting asked={asked} />;
  const pages = Math.ceil(checks / PAGE);
  return (
    <>
      <div className="scroll">
        <table className="figures full">
          <caption className="unseen">{w.title}</caption>
          <thead><tr><th scope="col">{words.runs.sheet}</th><th scope="col">{words.values.verdict}</th><th scope="col">{w.position} ({figures.lengthUnit})</th><th scope="col">± U</th><th scope="col">{w.offset} ({figures.lengthUnit})</th><th scope="col">{words.values.rotation} (mm/m)</th><th scope="col">{w.taken}</th></tr></thead>
          <tbody>
            {asked.value.map((check) => (
              <tr key={check.id}>
                <th scope="row"><a href={`#check/run/${id}/${check.id}`}>{check.sheet ?? words.runs.recorded.noNumber}</a>{check.recut > 0 && <small>{w.again}</small>}</th>
                <td><span className="row-verdict"><VerdictShape standing={check.verdict} /></span> {words.verdict[check.verdict].word}</td>
                <td>{figures.length(check.worst, true)}</td><td>{figures.length(check.worstU)}</td>
                <td>{figures.length(check.offsetX, true)}{figures.decimal === "," ? "; " : ", "}{figures.length(check.offsetY, true)}</td><td>{figures.rate(check.rotation, true)}</td>
                <td>{check.takenAt.replace("T", " ").slice(0, 19)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {pages > 1 && (
        <div className="buttons">
          <Button className="button" isDisabled={page === 0} onPress={() => setPage(page - 1)}>←</Button>
          <span className="note">{words.common.of(`${page * PAGE + 1}–${Math.min(checks, (page + 1) * PAGE)}`, String(checks))}</span>
          <Button className="button" isDisabled={page >= pages - 1} onPress={() => setPage(page + 1)}>→</Button>
        </div>
      )}
    </>
  );
}
