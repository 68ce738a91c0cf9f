import { type FormEvent, useCallback, useState } from "react";
import { Button, Input, Label, TextField } from "react-aria-components";
import { client, read } from "../../frame/client.ts";
import { useHost } from "../../frame/useHost.ts";
import { Waiting } from "../../frame/Waiting.tsx";
import { useShop } from "../../settings/useSettings.tsx";
import { type Sampling, scaleOf } from "../runData.ts";
import { useUndo } from "../../frame/useUndo.tsx";

/** How often to check from here on, what that costs and misses, and the model behind it. */
export function SamplingPanel({ id }: { id: string }) {
  const { words, figures } = useShop();
  const w = words.runs.sampling;
  const [asked] = useHost(useCallback(() => read(client.api.runs[":id"].sampling.$get({ param: { id } })), [id]));
  const [advice] = useHost(useCallback(() => read(client.api.runs[":id"].advice.$get({ param: { id } })), [id]));
  const [answer, setAnswer] = useState<Sampling | null>(null);
  const { attempt, notice } = useUndo(() => {});
  if (asked.kind !== "ready") return <Waiting asked={asked} />;
  const now = answer ?? asked.value;
  const save = (event: FormEvent<HTMLFormElement>) => {
    event.preventDefault();
    const form = new FormData(event.currentTarget);
    const number = (name: string) => Number(String(form.get(name) ?? "").replace(",", "."));
    void attempt(async () => setAnswer(await read(client.api.runs[":id"].sampling.$put({ param: { id }, json: { badOverCheck: number("bad"), faultsPer1000: number("faults") } }))));
  };
  return (
    <div className="sampling">
      {now.advised && now.by ? <p className="next-sheet">{w.every(String(now.advised.every))} <small>{w.by(words.runs.named[now.by])}</small></p> : <p className="note">{now.reason === "no-limits" ? w.limits : w.few}</p>}
      {now.by && advice.kind === "ready" && advice.value.advice.action === "correct" && <p className="warnings">{w.first}</p>}
      <form className="card inline-form" onSubmit={save}>
        <TextField className="field" name="bad" defaultValue={figures.number(now.costs.badOverCheck, 1)} inputMode="decimal" isRequired><Label>{w.bad}</Label><Input /></TextField>
        <TextField className="field" name="faults" defaultValue={figures.number(now.costs.faultsPer1000, 1)} inputMode="decimal" isRequired><Label>{w.faults}</Label><Input /></TextField>
        <Button type="submit" className="main-button">{w.use}</Button>
        {notice}
      </form>
      {now.advised && <Compared answer={now} />}
      <p className="note">{w.model}</p>
    </div>
  );
}

function Compared({ answer: { advised, present, by, level, driftPerSheet, sigma, limit } }: { answer: Sampling }) {
  const { words, figures } = useShop();
  const w = words.runs.sampling;
  const columns = [...(present ? [[w.present, present] as const] : []), ...(advised ? [[w.advised, advised] as const] : [])];
  const scale = by && scaleOf(by, words, figures);
  return (
    <section className="card">
      <table className="figures full">
        <caption className="unseen">{w.title}</caption>
        <thead><tr><th scope="col"><span className="unseen">{w.title}</span></th>{columns.map(([name]) => <th key={name} scope="col">{name}</th>)}</tr></thead>
        <tbody>
          <tr><th scope="row">{w.interval}</th>{columns.map(([name, c]) => <td key={name}>{c.every}</td>)}</tr>
          <tr><th scope="row">{w.badPerFault}</th>{columns.map(([name, c]) => <td key={name}>{figures.number(c.badPerFault, 1)}</td>)}</tr>
          <tr><th scope="row">{w.outAtNext}</th>{columns.map(([name, c]) => <td key={name}>{figures.percent(c.outAtNext)}</td>)}</tr>
          <tr><th scope="row">{w.cost}</th>{columns.map(([name, c]) => <td key={name}>{figures.number(c.costPerSheet, 3)}</td>)}</tr>
        </tbody>
      </table>
      {scale && limit !== undefined && (
        <dl className="facts">
          <div><dt>{w.basis}</dt><dd>{scale.name}</dd></div>
          <div><dt>{w.level}</dt><dd>{scale.write(level ?? 0, true)} {scale.unit}</dd></div>
          <div><dt>{w.drift}</dt><dd>{scale.write(100 * (driftPerSheet ?? 0), true)} {scale.unit}</dd></div>
          <div><dt>{w.scatter}</dt><dd>{scale.write(sigma ?? 0)} {scale.unit}</dd></div>
          <div><dt>{w.limit}</dt><dd>{scale.write(limit)} {scale.unit}</dd></div>
        </dl>
      )}
    </section>
  );
}
