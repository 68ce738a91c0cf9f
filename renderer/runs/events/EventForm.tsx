import { type FormEvent, useCallback, useState } from "react";
import { Button } from "react-aria-components";
import { client, read } from "../../frame/client.ts";
import { useHost } from "../../frame/useHost.ts";
import { useUndo } from "../../frame/useUndo.tsx";
import { useShop } from "../../settings/useSettings.tsx";
import type { Overview } from "../runData.ts";
import { CorrectionFields } from "./CorrectionFields.tsx";
import { eventFrom, type Kind, KINDS, TOOL_KINDS } from "./eventFrom.ts";
import { Field } from "./Field.tsx";
import { ToolCode } from "./ToolCode.tsx";

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
  const enter = (event: FormEvent<HTMLFormElement>) => {
    event.preventDefault();
    const json = eventFrom(new FormData(event.currentTarget), kind, figures);
    void attempt(async () => {
      await read(client.api.runs[":id"].events.$post({ param: { id }, json }));
      setTurn(turn + 1);
      changed();
    });
  };
  return (
    <form key={`${kind} ${turn} ${advised === null}`} className="card inline-form" onSubmit={enter}>
      <label className="field"><b>{w.kind}</b>
        <select value={kind} onChange={(event) => setKind(event.target.value as Kind)}>{KINDS.map((one) => <option key={one} value={one}>{w.kinds[one]}</option>)}</select>
      </label>
      <Field name="before" label={w.before} help={w.beforeHelp} numeric />
      {kind === "tool-changed" && (
        <>
          <ToolCode />
          <label className="field"><b>{w.toolKind}</b><select name="toolKind">{TOOL_KINDS.map((one) => <option key={one} value={one}>{w.toolKinds[one]}</option>)}</select></label>
          <Field name="metres" label={w.metresBefore} numeric />
        </>
      )}
      {kind === "material-lot" && <Field name="lot" label={w.lot} required />}
      {kind === "humidity" && <Field name="percent" label={w.percent} required numeric />}
      {kind === "correction" && <CorrectionFields advised={advised} />}
      <Field name="note" label={w.note} required={kind === "note"} wide longest={2000} />
      <Field name="who" label={w.who} />
      <Button type="submit" className="main-button">{w.add}</Button>
      {notice}
    </form>
  );
}
