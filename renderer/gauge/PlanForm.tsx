import { type FormEvent, useState } from "react";
import { Button, Input, Label, TextField } from "react-aria-components";
import type { Study } from "../../electron/host/app/routes/gaugeRoutes.ts";
import { useShop } from "../settings/useSettings.tsx";
import { GAUGE_VALUES } from "../../core/gauge/values.ts";
import { isLength, replanned } from "./plan.ts";

const names = (text: string): string[] => [...new Set(text.split(",").map((t) => t.trim()).filter(Boolean))];

/** Which sheets, who, how often, which value, and the tolerance it is held against. */
export function PlanForm({ study, position, onPlan }: { study: Study; position: number | undefined; onPlan: (next: Study) => void }) {
  const { words, figures } = useShop();
  const w = words.gauge.plan;
  const [sheets, setSheets] = useState(study.sheets.join(", ") || Array.from({ length: 10 }, (_, i) => i + 1).join(", "));
  const [operators, setOperators] = useState(study.operators.join(", "));
  const [repeats, setRepeats] = useState(String(study.repeats));
  const [value, setValue] = useState(study.value);
  const usual = study.tolerance ?? (position === undefined ? null : 2 * position);
  const [tolerance, setTolerance] = useState(usual === null ? "" : figures.number(usual, 2));
  const plan = { sheets: names(sheets), operators: names(operators), repeats: Math.round(Number(repeats)) };
  const enough = plan.sheets.length > 1 && plan.operators.length > 1 && plan.repeats > 1;
  const width = Number(tolerance.replace(",", "."));
  const submit = (event: FormEvent) => {
    event.preventDefault();
    if (enough) onPlan(replanned(study, { ...plan, value, tolerance: width > 0 ? width : null }));
  };
  return (
    <form className="card" onSubmit={submit}>
      <h2>{w.title}</h2>
      <TextField className="field wide-field" value={sheets} onChange={setSheets} isRequired><Label>{w.sheets} <small>{w.names}</small></Label><Input /></TextField>
      <TextField className="field wide-field" value={operators} onChange={setOperators} isRequired><Label>{w.operators} <small>{w.names}</small></Label><Input /></TextField>
      <div className="inline-form">
        <TextField className="field narrow" value={repeats} onChange={setRepeats} inputMode="numeric"><Label>{w.repeats}</Label><Input /></TextField>
        <label className="field"><span className="choice-label">{w.value}</span>
          <select value={value} onChange={(event) => setValue(event.target.value)}>{GAUGE_VALUES.map((v) => <option key={v} value={v}>{words.gauge.values[v]}</option>)}</select>
        </label>
        <TextField className="field narrow" value={tolerance} onChange={setTolerance} inputMode="decimal"><Label>{w.tolerance(isLength(value) ? "mm" : "mm/m")}</Label><Input /></TextField>
      </div>
      <p className="note">{enough ? w.count(String(plan.sheets.length * plan.operators.length * plan.repeats)) : w.few}</p>
      {Object.keys(study.readings).length > 0 && <p className="note">{w.kept}</p>}
      <div className="buttons">
        <Button type="submit" className="main-button" isDisabled={!enough}>{w.start}</Button>
        {Object.keys(study.readings).length > 0 && <Button className="button" onPress={() => confirm(w.clearSure) && onPlan({ ...study, sheets: [], operators: [], readings: {}, references: {} })}>{w.clear}</Button>}
      </div>
    </form>
  );
}
