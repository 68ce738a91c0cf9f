import { useState } from "react";
import { Button, Label, Radio, RadioGroup } from "react-aria-components";
import { VerdictShape } from "../../frame/VerdictShape.tsx";
import { useShop } from "../../settings/useSettings.tsx";
import { type AsideRow, type AsideSheet, consequenceTexts, rowsOf } from "./asideRows.ts";

interface Props {
  readonly runId: string;
  readonly sheets: readonly AsideSheet[];
  readonly all: number;
  choose(range: { from: number; to: number }): void;
}

/** What is to be set aside or decided: ranges of unchecked sheets as one line, checked sheets with what their errors mean. */
export function AsideTable({ runId, sheets, choose }: Props) {
  const { words, figures } = useShop();
  const w = words.runs.aside;
  const [shown, setShown] = useState<"open" | "all">("open");
  const rows = rowsOf(sheets).filter((row) => shown === "all" || row.open > 0);
  const name = (row: AsideRow) => (row.from === row.to ? String(row.from) : `${row.from}–${row.to}`);
  return (
    <section className="card">
      <div className="page-head">
        <h2>{w.list}</h2>
        <RadioGroup className="choice" value={shown} onChange={(next) => setShown(next as "open")} aria-label={w.show}>
          <Label className="unseen">{w.show}</Label>
          <div className="choice-options"><Radio value="open" className="choice-option">{w.onlyOpen}</Radio><Radio value="all" className="choice-option">{w.all}</Radio></div>
        </RadioGroup>
      </div>
      <div className="scroll">
        <table className="figures full">
          <caption className="unseen">{w.list}</caption>
          <thead><tr><th scope="col">{w.sheets}</th><th scope="col">{w.fromTop}</th><th scope="col" className="text">{w.state}</th><th scope="col" className="text">{w.what}</th><th scope="col" className="text">{w.decided}</th><th scope="col"><span className="unseen">{w.decide}</span></th></tr></thead>
          <tbody>
            {rows.map((row) => {
              const { first } = row;
              return (
                <tr key={row.from}>
                  <th scope="row">{first.check ? <a href={`#check/run/${runId}/${first.check.id}`}>{name(row)}</a> : name(row)}{first.checks > 1 && <small>{w.checked(String(first.checks))}</small>}</th>
                  <td>{row.fromTop[0] === row.fromTop[1] ? row.fromTop[0] : `${row.fromTop[0]}–${row.fromTop[1]}`}</td>
                  <td className="text">{first.check && <span className="row-verdict"><VerdictShape standing={first.check.verdict} /></span>} {w.states[first.state]}{first.seen && <small>{first.seen}</small>}</td>
                  <td className="text">{first.check && first.check.verdict !== "in" ? <>{figures.length(Math.abs(first.check.worst))} {figures.lengthUnit}<small>{consequenceTexts(first, words, figures).map((text) => <span key={text} className="line">{text}</span>)}</small></> : ""}</td>
                  <td className="text">{first.decision ? <>{w.decisions[first.decision.decision]}<small>{first.decision.who}: {first.decision.why}</small></> : ""}</td>
                  <td><Button className="button" onPress={() => choose({ from: row.from, to: row.to })} aria-label={w.choose(w.range(String(row.from), String(row.to)))}>{w.decide} …</Button></td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
    </section>
  );
}
