import { type FormEvent, useState } from "react";
import { Button, Input, Label, TextField } from "react-aria-components";
import { lengthCheck } from "../../core/gauge/bias.ts";
import type { Study } from "../../electron/host/app/routes/gaugeRoutes.ts";
import { Icon } from "../frame/Icon.tsx";
import { VerdictShape } from "../frame/VerdictShape.tsx";
import { useShop } from "../settings/useSettings.tsx";

type Lengths = Study["lengths"];
const numberIn = (text: string): number => Number(text.trim().replace(",", ".") || Number.NaN);

/** Known lengths against what was measured, every error within A + L/K. */
export function LengthSection({ lengths, onChange }: { lengths: Lengths; onChange: (next: Lengths) => void }) {
  const { words, figures } = useShop();
  const w = words.gauge.length;
  const [typed, setTyped] = useState({ reference: "", value: "" });
  const result = lengthCheck(lengths.rows, lengths.a, lengths.k);
  const row = { reference: numberIn(typed.reference), value: numberIn(typed.value) };
  const valid = row.reference > 0 && Number.isFinite(row.value);
  const add = (event: FormEvent) => {
    event.preventDefault();
    if (!valid) return;
    onChange({ ...lengths, rows: [...lengths.rows, row].sort((a, b) => a.reference - b.reference) });
    setTyped({ reference: "", value: "" });
  };
  const set = (key: "a" | "k", text: string) => {
    const value = numberIn(text);
    if (value > 0) onChange({ ...lengths, [key]: value });
  };
  return (
    <section className="card">
      <h2>{w.title}</h2>
      <p className="note">{w.how}</p>
      <div className="inline-form">
        <TextField className="field narrow" defaultValue={figures.number(lengths.a, 3)} onBlur={(e) => set("a", (e.target as HTMLInputElement).value)} inputMode="decimal"><Label>{w.a}</Label><Input /></TextField>
        <TextField className="field narrow" defaultValue={String(lengths.k)} onBlur={(e) => set("k", (e.target as HTMLInputElement).value)} inputMode="numeric"><Label>{w.k}</Label><Input /></TextField>
      </div>
      <form className="inline-form" onSubmit={add}>
        <TextField className="field narrow" value={typed.reference} onChange={(reference) => setTyped({ ...typed, reference })} inputMode="decimal"><Label>{w.reference}</Label><Input /></TextField>
        <TextField className="field narrow" value={typed.value} onChange={(value) => setTyped({ ...typed, value })} inputMode="decimal"><Label>{w.value}</Label><Input /></TextField>
        <Button type="submit" className="button" isDisabled={!valid}><Icon name="plus" />{w.add}</Button>
      </form>
      {result === null ? <p className="note">{w.none}</p> : (
        <>
          <p className="grade"><VerdictShape standing={result.passed ? "in" : "out"} /><b>{result.passed ? w.passed(String(result.n)) : w.failed(figures.number(result.worst.reference, 1))}</b></p>
          <div className="length-body">
            <LengthChart lengths={lengths} />
            <LengthTable lengths={lengths} remove={(i) => onChange({ ...lengths, rows: lengths.rows.filter((_, k) => k !== i) })} />
          </div>
        </>
      )}
    </section>
  );
}

/** The lengths with their errors beside what is permitted. */
function LengthTable({ lengths: { a, k, rows }, remove }: { lengths: Lengths; remove: (row: number) => void }) {
  const { words, figures } = useShop();
  const w = words.gauge.length;
  return (
    <div className="wide-table"><table className="figures full">
      <thead><tr><th scope="col">{w.reference}</th><th scope="col">{w.value}</th><th scope="col">{w.error}</th><th scope="col">{w.permitted}</th><th scope="col"><span className="unseen">{words.common.remove}</span></th></tr></thead>
      <tbody>
        {rows.map(({ reference, value }, i) => {
          const permitted = a + reference / k;
          const error = value - reference;
          return (
            <tr key={`${reference}/${i}`}>
              <th scope="row">{figures.number(reference, 3)}</th><td>{figures.number(value, 3)}</td>
              <td className={Math.abs(error) > permitted ? "poor" : undefined}>{figures.number(error, 3)}</td><td>± {figures.number(permitted, 3)}</td>
              <td><Button className="square" aria-label={w.remove(figures.number(reference, 3))} onPress={() => remove(i)}><Icon name="close" /></Button></td>
            </tr>
          );
        })}
      </tbody>
    </table></div>
  );
}

const [WIDTH, HEIGHT] = [320, 180];

/** Errors as points between the two lines of A + L/K. The table beside it has the figures. */
function LengthChart({ lengths: { a, k, rows } }: { lengths: Lengths }) {
  const { words, figures } = useShop();
  const longest = Math.max(...rows.map((r) => r.reference)) * 1.08;
  const most = 1.15 * Math.max(a + longest / k, ...rows.map((r) => Math.abs(r.value - r.reference)));
  const x = (length: number): number => 8 + ((WIDTH - 16) * length) / longest;
  const y = (error: number): number => HEIGHT / 2 - ((HEIGHT / 2 - 16) * error) / most;
  const limit = (sign: number): string => `M${x(0)} ${y(sign * a)}L${x(longest)} ${y(sign * (a + longest / k))}`;
  return (
    <svg className="length-chart" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="img" aria-label={words.gauge.length.chart}>
      <path className="length-zero" d={`M${x(0)} ${y(0)}H${x(longest)}`} />
      <path className="length-limit" d={limit(1)} /><path className="length-limit" d={limit(-1)} />
      {rows.map((r, i) => <circle key={i} className={Math.abs(r.value - r.reference) > a + r.reference / k ? "length-out" : "length-in"} cx={x(r.reference)} cy={y(r.value - r.reference)} r="4" />)}
      <text className="length-text" x={x(longest)} y={HEIGHT - 3} textAnchor="end">{figures.number(longest, 0)} mm</text>
      <text className="length-text" x={x(0)} y={12}>± {figures.number(a, 3)} mm + L/{figures.number(k, 0)}</text>
    </svg>
  );
}
