import { type FormEvent, useState } from "react";
import { Button, Input, Label, TextField } from "react-aria-components";
import { client, read } from "../frame/client.ts";
import { Fault } from "../frame/Fault.tsx";
import { useWords } from "../settings/useSettings.tsx";

const DECISIONS = ["aside", "accept", "re-cut", "reprint", "scrap", "concession"] as const;

/** Decides about a sheet or a range of them; who and why are asked for, and the decision can be taken back. */
export function DecisionForm({ id, first, changed }: { id: string; first: number; changed(): void }) {
  const words = useWords();
  const w = words.runs;
  const [fault, setFault] = useState<Error | null>(null);
  const [last, setLast] = useState<number | null>(null);
  const decide = async (event: FormEvent<HTMLFormElement>) => {
    event.preventDefault();
    const form = new FormData(event.currentTarget);
    const text = (name: string) => String(form.get(name) ?? "");
    const decision = DECISIONS.find((one) => one === text("decision")) ?? "aside";
    try {
      const made = await read(client.api.runs[":id"].decisions.$post({
        param: { id }, json: { from: Number(text("from")), to: Number(text("to")), decision, who: text("who"), why: text("why") },
      }));
      setLast(made[0]?.batch ?? null);
      setFault(null);
      changed();
    } catch (error) {
      setFault(error as Error);
    }
  };
  const takeBack = async () => {
    await read(client.api.runs[":id"].decisions[":batch"].$delete({ param: { id, batch: String(last) } }));
    setLast(null);
    changed();
  };
  return (
    <form className="inline-form" onSubmit={decide}>
      <TextField className="field narrow" name="from" defaultValue={String(first)} isRequired inputMode="numeric"><Label>{w.from}</Label><Input /></TextField>
      <TextField className="field narrow" name="to" defaultValue={String(first)} isRequired inputMode="numeric"><Label>{w.to}</Label><Input /></TextField>
      <label className="field"><b>{w.decision}</b>
        <select name="decision">{DECISIONS.map((one) => <option key={one} value={one}>{w.decisions[one]}</option>)}</select>
      </label>
      <TextField className="field" name="who" isRequired><Label>{w.who}</Label><Input maxLength={80} /></TextField>
      <TextField className="field" name="why" isRequired><Label>{w.why}</Label><Input maxLength={400} /></TextField>
      <Button type="submit" className="main-button">{w.decide}</Button>
      {last !== null && <Button className="button" onPress={takeBack}>{words.common.undo}</Button>}
      {fault && <Fault error={fault} />}
    </form>
  );
}
