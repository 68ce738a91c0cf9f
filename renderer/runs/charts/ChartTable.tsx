import { VerdictShape } from "../../frame/VerdictShape.tsx";
import { useShop } from "../../settings/useSettings.tsx";
import { Section } from "../../sheet/Section.tsx";
import { type Charts, scaleOf } from "../runData.ts";

/** Rows shown at most; the whole run is in its export. */
const SHOWN = 100;

/** The charts' figures as a table, the latest first; each row leads to its sheet. */
export function ChartTable({ data, runId }: { data: Charts; runId: string }) {
  const { words } = useShop();
  return <Section title={words.runs.charts.table} late><Rows data={data} runId={runId} /></Section>;
}

function Rows({ data, runId }: { data: Charts; runId: string }) {
  const { words, figures } = useShop();
  const w = words.runs.charts;
  const scale = scaleOf(data.value, words, figures);
  const { statistics: t } = data;
  const write = (v: number | null | undefined, signed = true) => (v == null ? "–" : scale.write(v, signed));
  const rows = data.values.map((_, i) => data.values.length - 1 - i).slice(0, SHOWN);
  const columns: [string, (row: number) => string][] = [
    [`${words.values.value} (${scale.unit})`, (i) => write(data.values[i])], ["± U", (i) => write(data.U[i], false)],
    ...(t.driftChart ? [[w.drift, (i: number) => write(t.driftChart?.values[i])] as [string, (row: number) => string]] : []),
    ...(t.cusum ? [[w.high, (i: number) => write(t.cusum?.high[i], false)], [w.low, (i: number) => write(t.cusum?.low[i], false)]] as [string, (row: number) => string][] : []),
    ...(t.t2 ? [[w.t2, (i: number) => (t.t2?.values[i] == null ? "–" : figures.number(t.t2.values[i] as number, 2))] as [string, (row: number) => string]] : []),
  ];
  return (
    <>
      {data.values.length > SHOWN && <p className="note">{w.rowsShown(String(SHOWN), String(data.values.length))}</p>}
      <div className="scroll">
        <table className="figures">
          <caption className="unseen">{scale.name}</caption>
          <thead><tr><th scope="col">{words.runs.sheet}</th>{columns.map(([name]) => <th key={name} scope="col">{name}</th>)}<th scope="col">{words.values.verdict}</th></tr></thead>
          <tbody>
            {rows.map((i) => (
              <tr key={data.checkIds[i]}>
                <th scope="row"><a href={`#check/run/${runId}/${data.checkIds[i]}`}>{data.sheets[i] ?? `(${i + 1})`}</a></th>
                {columns.map(([name, cell]) => <td key={name}>{cell(i)}</td>)}
                <td><span className="row-verdict"><VerdictShape standing={data.verdicts[i]} /></span> {words.verdict[data.verdicts[i]].word}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </>
  );
}
