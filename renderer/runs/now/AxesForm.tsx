import type { FormEvent } from "react";
import { Button, Input, Label, TextField } from "react-aria-components";
import { client, read } from "../../frame/client.ts";
import { useWords } from "../../settings/useSettings.tsx";
import { Section } from "../../sheet/Section.tsx";
import type { Overview } from "../runData.ts";
import { useUndo } from "../../frame/useUndo.tsx";

const AXES = ["plusX", "minusX", "plusY", "minusY"] as const;

/** The shop's own words for the cutter's directions at this job, as the operator stands there. */
export function AxesForm({ overview: { jobId, axes }, changed }: { overview: Overview; changed(): void }) {
  const words = useWords();
  const w = words.runs.now;
  const { attempt, notice } = useUndo(changed);
  const set = (chosen: Record<(typeof AXES)[number], string> | null) => attempt(async () => {
    await read(client.api.records.axes[":job"].$put({ param: { job: String(jobId) }, json: { axes: chosen } }));
    changed();
  });
  const save = (event: FormEvent<HTMLFormElement>) => {
    event.preventDefault();
    const form = new FormData(event.currentTarget);
    const word = (axis: (typeof AXES)[number]) => String(form.get(axis) ?? "").trim() || words.runs.directions[axis];
    void set({ plusX: word("plusX"), minusX: word("minusX"), plusY: word("plusY"), minusY: word("minusY") });
  };
  return (
    <Section title={w.axes}>
      <p className="note">{w.axesHelp}</p>
      <form key={JSON.stringify(axes)} className="inline-form" onSubmit={save}>
        {AXES.map((axis) => <TextField key={axis} className="field" name={axis} defaultValue={(axes ?? words.runs.directions)[axis]}><Label>{w[axis]}</Label><Input maxLength={60} /></TextField>)}
        <Button type="submit" className="button">{words.common.save}</Button>
        {axes && <Button className="button" onPress={() => set(null)}>{w.usual}</Button>}
      </form>
      {notice}
    </Section>
  );
}
