import { type FormEvent, useCallback, useState } from "react";
import { Button, Input, Label, TextField } from "react-aria-components";
import { client, read } from "../frame/client.ts";
import { Fault } from "../frame/Fault.tsx";
import { useHost } from "../frame/useHost.ts";
import { Waiting } from "../frame/Waiting.tsx";
import { useWords } from "../settings/useSettings.tsx";
import { DecisionForm } from "./DecisionForm.tsx";

/** What to set aside of the stack, which sheet to check next, and what was decided. */
export function SetAsidePanel({ id, sheets, changed }: { id: string; sheets: number | null; changed(): void }) {
  const words = useWords();
  const w = words.runs;
  const [asked, again] = useHost(useCallback(() => read(client.api.runs[":id"].setaside.$get({ param: { id } })), [id]));
  const refresh = () => {
    again();
    changed();
  };
  if (asked.kind !== "ready") return <Waiting asked={asked} />;
  const { result, unnumbered, decisions, sheets: all } = asked.value;
  return (
    <div className="aside">
      <StackSize id={id} sheets={sheets} changed={refresh} />
      {unnumbered > 0 && <p className="warnings">{w.unnumbered(String(unnumbered))}</p>}
      {!result && <p className="note">{w.noNumbers}</p>}
      {result && (
        <>
          {result.next !== null && <p className="next-sheet">{w.next(String(result.next), String(all - result.next + 1))}</p>}
          <table className="figures">
            <caption className="unseen">{w.setAside}</caption>
            <thead><tr><th scope="col">{w.sheets}</th><th scope="col">{w.fromTop}</th><th scope="col">{w.state}</th></tr></thead>
            <tbody>
              {result.bad.map((sheet) => <tr key={`b${sheet}`}><th scope="row">{sheet}</th><td>{all - sheet + 1}</td><td>{w.bad}</td></tr>)}
              {result.suspect.map((range) => (
                <tr key={range.from}><th scope="row">{range.from}–{range.to}</th><td>{range.fromTop[0]}–{range.fromTop[1]}</td><td>{w.suspect}</td></tr>
              ))}
              {result.clear.map((range) => (
                <tr key={`c${range.from}`}><th scope="row">{range.from}–{range.to}</th><td>{all - range.to + 1}–{all - range.from + 1}</td><td>{w.clear}</td></tr>
              ))}
            </tbody>
          </table>
          <p className="caution">{w.liftCaution}</p>
          <DecisionForm id={id} first={result.bad[0] ?? result.suspect[0]?.from ?? 1} changed={refresh} />
          {decisions.length > 0 && (
            <ul className="decisions">
              {decisions.map((one) => <li key={one.id}><b>{words.check.sheet(one.sheet)}</b>: {w.decisions[one.decision]} ({one.who}: {one.why})</li>)}
            </ul>
          )}
          <Button className="button" onPress={() => window.print()}>{w.print}</Button>
        </>
      )}
    </div>
  );
}

function StackSize({ id, sheets, changed }: { id: string; sheets: number | null; changed(): void }) {
  const words = useWords();
  const [text, setText] = useState(sheets === null ? "" : String(sheets));
  const [fault, setFault] = useState<Error | null>(null);
  const save = async (event: FormEvent) => {
    event.preventDefault();
    try {
      await read(client.api.runs[":id"].$patch({ param: { id }, json: { sheets: text.trim() === "" ? null : Number(text) } }));
      setFault(null);
      changed();
    } catch (error) {
      setFault(error as Error);
    }
  };
  return (
    <form className="inline-form" onSubmit={save}>
      <TextField className="field" value={text} onChange={setText} inputMode="numeric"><Label>{words.runs.stackSize}</Label><Input /></TextField>
      <Button type="submit" className="button">{words.common.save}</Button>
      {fault && <Fault error={fault} />}
    </form>
  );
}
