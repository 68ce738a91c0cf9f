import { useCallback, useState } from "react";
import { Button } from "react-aria-components";
import QRCode from "qrcode";
import { client, read } from "../../frame/client.ts";
import { useHost } from "../../frame/useHost.ts";
import { Waiting } from "../../frame/Waiting.tsx";
import { useShop } from "../../settings/useSettings.tsx";
import { type AsideRow, consequenceTexts, rowsOf } from "./asideRows.ts";

/** The set-aside list for the clipboard: a box to tick, place in the stack, and each sheet's code to scan; suspect ranges as one line. */
export function PrintList({ id }: { id: string }) {
  const { words, figures } = useShop();
  const w = words.runs.aside;
  const [asOf] = useState(() => new Date());
  const [run] = useHost(useCallback(() => read(client.api.runs[":id"].$get({ param: { id } })), [id]));
  const [aside] = useHost(useCallback(() => read(client.api.runs[":id"].setaside.$get({ param: { id } })), [id]));
  if (run.kind !== "ready") return <div className="page"><Waiting asked={run} /></div>;
  if (aside.kind !== "ready") return <div className="page"><Waiting asked={aside} /></div>;
  const { job } = run.value;
  const rows = rowsOf(aside.value.sheets).filter((row) => row.open > 0).reverse();
  const code = (row: AsideRow) => `job=${job.id};sheet=${row.from === row.to ? row.from : `${row.from}-${row.to}`}`;
  return (
    <div className="page print-list">
      <div className="buttons"><a className="button" href={`#runs/${id}/aside`}>← {run.value.run.name}</a><Button className="main-button" onPress={() => window.print()}>{w.printNow}</Button></div>
      <h1>{w.printTitle}</h1>
      <p>{w.cutFrom(`${job.id} ${job.name}`, run.value.run.name)}, {w.printedOn(asOf.toLocaleString(words.locale))}</p>
      <p className="caution">{w.lift}</p>
      <div className="scroll">
      <table className="figures full">
        <thead><tr><th scope="col">{w.tick}</th><th scope="col" className="text">{w.fromTop}</th><th scope="col" className="text">{w.sheets}</th><th scope="col" className="text">{w.state}</th><th scope="col" className="text">{w.what}</th><th scope="col" className="text">{w.decided}</th><th scope="col">{w.code}</th></tr></thead>
        <tbody>
          {rows.map((row) => (
            <tr key={row.from}>
              <td><span className="tick-box" /></td>
              <td className="big">{row.fromTop[0] === row.fromTop[1] ? row.fromTop[0] : `${row.fromTop[0]}–${row.fromTop[1]}`}</td>
              <th scope="row" className="big">{row.from === row.to ? row.from : `${row.from}–${row.to}`}</th>
              <td className="text">{w.states[row.first.state]}{row.first.seen && <small>{row.first.seen}</small>}</td>
              <td className="text"><small>{consequenceTexts(row.first, words, figures).join("; ")}</small></td>
              <td className="text write-here">{row.first.decision ? w.decisions[row.first.decision.decision] : ""}</td>
              <td><Code text={code(row)} /></td>
            </tr>
          ))}
        </tbody>
      </table>
      </div>
    </div>
  );
}

function Code({ text }: { text: string }) {
  const { modules } = QRCode.create(text, { errorCorrectionLevel: "M" });
  const path: string[] = [];
  for (let y = 0; y < modules.size; y++) for (let x = 0; x < modules.size; x++) if (modules.get(y, x)) path.push(`M${x} ${y}h1v1h-1z`);
  return <svg className="tick-code" viewBox={`-2 -2 ${modules.size + 4} ${modules.size + 4}`} role="img" aria-label={text}><rect x="-2" y="-2" width={modules.size + 4} height={modules.size + 4} fill="#fff" /><path d={path.join("")} fill="#000" /></svg>;
}
