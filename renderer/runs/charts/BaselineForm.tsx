import type { FormEvent } from "react";
import { Button, Input, Label, TextField } from "react-aria-components";
import { client, read } from "../../frame/client.ts";
import { useWords } from "../../settings/useSettings.tsx";
import type { Overview } from "../runData.ts";
import { useUndo } from "../../frame/useUndo.tsx";

/** The rows that the control limits come from: stated by somebody, never taken from all of the data in silence. */
export function BaselineForm({ run, changed }: { run: Overview["run"]; changed(): void }) {
  const words = useWords();
  const w = words.runs.charts;
  const { attempt, notice } = useUndo(changed);
  const set = (baseline: { from: number; to: number } | null) => attempt(async () => {
    await read(client.api.runs[":id"].$patch({ param: { id: String(run.id) }, json: { baseline } }));
    changed();
  });
  const save = (event: FormEvent<HTMLFormElement>) => {
    event.preventDefault();
    const form = new FormData(event.currentTarget);
    void set({ from: Number(form.get("from")), to: Number(form.get("to")) });
  };
  return (
    <form key={`${run.baselineFrom} ${run.baselineTo}`} className="inline-form baseline" onSubmit={save} title={w.baselineHelp}>
      <TextField className="field narrow" name="from" defaultValue={String(run.baselineFrom ?? 1)} inputMode="numeric" pattern="[0-9]+" isRequired><Label>{w.baseline}</Label><Input /></TextField>
      <TextField className="field narrow" name="to" defaultValue={String(run.baselineTo ?? 30)} inputMode="numeric" pattern="[0-9]+" isRequired><Label>{w.baselineTo}</Label><Input /></TextField>
      <Button type="submit" className="button">{words.common.save}</Button>
      {run.baselineFrom !== null && <Button className="button" onPress={() => set(null)}>{w.baselineUsual}</Button>}
      {notice}
    </form>
  );
}
