import { VerdictShape } from "../frame/VerdictShape.tsx";
import { useShop } from "../settings/useSettings.tsx";
import { Section } from "../sheet/Section.tsx";
import { type TrendData, unitOf, writer } from "./trendData.ts";

/** Rows shown at most; the whole run is in its export. */
const SHOWN = 500;

/** The chart's figures as a table, the latest first. */
export function TrendTable({ data }: { data: TrendData }) {
  const { words, figures } = useShop();
  const write = writer(data, figures);
  const rows = data.values.map((value, i) => ({ value, U: data.U[i], sheet: data.sheets[i], verdict: data.verdicts[i], row: i + 1 })).reverse().slice(0, SHOWN);
  return (
    <Section title={words.runs.table}>
      <table className="figures">
        <caption className="unseen">{words.values[data.value]}</caption>
        <thead><tr><th scope="col">{words.runs.sheet}</th><th scope="col">{words.values.value} ({unitOf(data, figures)})</th><th scope="col">± U</th><th scope="col">{words.values.verdict}</th></tr></thead>
        <tbody>
          {rows.map((row) => (
            <tr key={row.row}>
              <th scope="row">{row.sheet ?? `(${row.row})`}</th>
              <td>{row.value === null ? "–" : write(row.value)}</td>
              <td>{row.U === null || row.U === undefined ? "–" : write(row.U).replace("+", "")}</td>
              <td><span className="row-verdict"><VerdictShape standing={row.verdict} /></span> {words.verdict[row.verdict].word}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </Section>
  );
}
