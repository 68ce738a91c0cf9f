import { type FormEvent, useCallback, useState } from "react";
import { Button, Input, Label, Text, TextField } from "react-aria-components";
import { client, read } from "../../frame/client.ts";
import { useHost } from "../../frame/useHost.ts";
import { useShop } from "../../settings/useSettings.tsx";
import type { Overview } from "../runData.ts";
import { useUndo } from "../../frame/useUndo.tsx";
import { ToolCode } from "./ToolCode.tsx";

const KINDS = ["tool-changed", "pallet-changed", "correction", "material-lot", "humidity", "restart", "note"] as const;
type Kind = (typeof KINDS)[number];
const CORRECTED = ["x", "y", "rotation", "scaleX", "scaleY"] as const;

/** Enters what happened, before which sheet. A correction is offered with the figures that are advised now. */
export function EventForm({ overview: { run }, kind: first, changed }: { overview: Overview; kind: Kind; changed(): void }) {
  const { words, figures } = useShop();
  const w = words.runs.events;
  const [kind, setKind] = useState<Kind>(first);
  const [turn, setTurn] = useState(0);
  const id = String(run.id);
  const { attempt, notice } = useUndo(changed);
  const [advice] = useHost(useCallback(async () => (kind === "correction" ? await read(client.api.runs[":id"].advice.$get({ param: { id } })) : null), [id, kind]));
  const advised = advice.kind === "ready" ? (advice.value?.advice.correction ?? null) : null;
  const isLength = (key: (typeof CORRECTED)[number]) => key === "x" || key === "y";

  const enter = (event: FormEvent<HTMLFormElement>) => {
    event.preventDefault();
    const form = new FormData(event.currentTarget);
    const text = (name: string) => String(form.get(name) ?? "").trim();
    const number = (name: string) => Number(text(name).replace(",", ".").replace("−", "-"));
    const common = {
      sheetNumber: text("before") === "" ? null : number("before"), who: text("who"), note: text("note"),
      ...(kind === "tool-changed" && text("code") !== "" && { tool: { code: text("code"), kind: text("toolKind") as "blade", ...(text("metres") !== "" && { metresBefore: number("metres") }) } }),
    };
    const detail = kind === "correction"
      ? { kind, detail: Object.fromEntries(CORRECTED.filter((key) => text(key) !== "").map((key) => [key, isLength(key) ? figures.toMm(number(key)) : number(key)])) }
      : kind === "material-lot" ? { kind, detail: { lot: text("lot") } } : kind === "humidity" ? { kind, detail: { percent: number("percent") } } : { kind, detail: {} };
    void attempt(async () => {
      await read(client.api.runs[":id"].events.$post({ param: { id }, json: { ...detail, ...common } as Parameters<(typeof client.api.runs)[":id"]["events"]["$post"]>[0]["json"] }));
      setTurn(turn + 1);
      changed();
    });
  };
  const field = (name: string, label: string, more: { readonly value?: string; readonly help?: string; readonly required?: boolean; readonly numeric?: boolean; readonly wide?: boolean } = {}) => (
    <TextField className={more.wide ? "field" : "field narrow"} name={name} defaultValue={more.value ?? ""} isRequired={more.required} inputMode={more.numeric ? "decimal" : "text"}>
      <Label>{label}</Label><Input maxLength={name === "note" ? 2000 : 120} />{more.help && <Text slot="description" className="note">{more.help}</Text>}
    </TextField>
  );
  return (
    <form key={`${kind} ${turn} ${advised === null}`} className="card inline-form" onSubmit={enter}>
      <label className="field"><b>{w.kind}</b>
        <select value={kind} onChange={(event) => setKind(event.target.value as Kind)}>{KINDS.map((one) => <option key={one} value={one}>{w.kinds[one]}</option>)}</select>
      </label>
      {field("before", w.before, { numeric: true, help: w.beforeHelp })}
      {kind === "tool-changed" && (
        <>
          <ToolCode />
          <label className="field"><b>{w.toolKind}</b><select name="toolKind">{(["blade", "crease", "other"] as const).map((one) => <option key={one} value={one}>{w.toolKinds[one]}</option>)}</select></label>
          {field("metres", w.metresBefore, { numeric: true })}
        </>
      )}
      {kind === "material-lot" && field("lot", w.lot, { required: true })}
      {kind === "humidity" && field("percent", w.percent, { required: true, numeric: true })}
      {kind === "correction" && CORRECTED.map((key) => {
        const name = { x: `X (${figures.lengthUnit})`, y: `Y (${figures.lengthUnit})`, rotation: `${words.values.rotation} (mm/m)`, scaleX: `${words.values.scaleX} (mm/m)`, scaleY: `${words.values.scaleY} (mm/m)` }[key];
        const v = advised?.[key] ?? 0;
        return <span key={key}>{field(key, name, { numeric: true, value: v === 0 ? "" : isLength(key) ? figures.length(v, true) : figures.rate(v, true) })}</span>;
      })}
      {field("note", w.note, { wide: true, required: kind === "note" })}
      {field("who", w.who)}
      <Button type="submit" className="main-button">{w.add}</Button>
      {notice}
    </form>
  );
}
