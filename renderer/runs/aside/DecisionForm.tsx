import { type FormEvent, useState } from "react";
import { Button, Input, Label, TextField } from "react-aria-components";
import { client, read } from "../../frame/client.ts";
import { Fault } from "../../frame/Fault.tsx";
import { useWords } from "../../settings/useSettings.tsx";

const DECISIONS = ["aside", "accept", "re-cut", "reprint", "scrap", "concession"] as const;

/** Decides about a sheet or a range of them, none before one is chosen or typed; who and why are asked for, and who is kept for the next decision. */
export function DecisionForm({ id, range, changed }: { id: string; range: { from: number; to: number } | null; changed(): void }) {
  const words = useWords();
  const w = words.runs.aside;
  const [fault, setFault] = useState<Error | null>(null);
  const [who, setWho] = useState("");
  // After a decision the form starts anew: the next one must not inherit what was decided.
  const [made, setMade] = useState(0);
  const decide = async (event: FormEvent<HTMLFormElement>) => {
    event.preventDefault();
    const form = new FormData(event.currentTarget);
    const text = (name: string) => String(form.get(name) ?? "");
    try {
      await read(client.api.runs[":id"].decisions.$post({
        param: { id }, json: { from: Number(text("from")), to: Number(text("to")), decision: DECISIONS.find((one) => one === text("decision")) ?? "aside", who, why: text("why") },
      }));
      setFault(null);
      setMade(made + 1);
      changed();
    } catch (error) {
      setFault(error as Error);
    }
  };
  return (
    <form key={`${range?.from} ${range?.to} ${made}`} className="card inline-form" onSubmit={decide} id="decide">
      <TextField className="field narrow" name="from" defaultValue={range ? String(range.from) : ""} isRequired inputMode="numeric" pattern="[0-9]+"><Label>{w.from}</Label><Input /></TextField>
      <TextField className="field narrow" name="to" defaultValue={range ? String(range.to) : ""} isRequired inputMode="numeric" pattern="[0-9]+"><Label>{w.to}</Label><Input /></TextField>
      <label className="field"><b>{w.decision}</b>
        <select name="decision">{DECISIONS.map((one) => <option key={one} value={one}>{w.decisions[one]}</option>)}</select>
      </label>
      <TextField className="field" name="who" value={who} onChange={setWho} isRequired><Label>{w.who}</Label><Input maxLength={80} /></TextField>
      <TextField className="field" name="why" isRequired><Label>{w.why}</Label><Input maxLength={400} /></TextField>
      <Button type="submit" className="main-button">{w.decide}</Button>
      <p className="note">{w.byEye}</p>
      {fault && <Fault error={fault} />}
    </form>
  );
}
