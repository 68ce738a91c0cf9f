import { useCallback, useState } from "react";
import { Button } from "react-aria-components";
import type { Meaning } from "../../../core/job/import/drawing.ts";
import { client, read } from "../../frame/client.ts";
import { Icon } from "../../frame/Icon.tsx";
import { useHost } from "../../frame/useHost.ts";
import { useUndo } from "../../frame/useUndo.tsx";
import { useWords } from "../../settings/useSettings.tsx";
import { TextBox } from "../form/TextBox.tsx";
import type { DrawingView } from "../worker/protocol.ts";
import type { Work } from "../worker/work.ts";

interface Props {
  readonly view: DrawingView;
  readonly meanings: readonly Meaning[];
  readonly work: Work;
  readonly apply: (meanings: readonly Meaning[]) => void;
}

/** Meanings remembered under a name, for the next drawing from the same source. */
export function Presets({ view, meanings, work, apply }: Props) {
  const words = useWords();
  const w = words.jobs.import;
  const [asked, again] = useHost(useCallback(() => read(client.api.jobs.presets.$get()), []));
  const [used, setUsed] = useState("");
  const [name, setName] = useState("");
  const [said, setSaid] = useState("");
  const { offer, attempt, notice } = useUndo(again);
  const presets = asked.kind === "ready" ? asked.value : [];
  const chosen = presets.find((p) => p.name === used);

  const use = (wanted: string) => attempt(async () => {
    setUsed(wanted);
    setName(wanted);
    setSaid("");
    apply(await work.ask("meanings", { preset: presets.find((p) => p.name === wanted) }));
  });
  const save = () => attempt(async () => {
    const wanted = name.trim();
    const known = presets.find((p) => p.name === wanted)?.meanings ?? {};
    const mine = Object.fromEntries(view.groups.map((g, i) => [g.name, meanings[i]]));
    await read(client.api.jobs.presets.$put({ json: { name: wanted, meanings: { ...known, ...mine } } }));
    setUsed(wanted);
    setSaid(w.presetSaved(wanted));
    again();
  });
  const forget = (id: number, forgotten: string) => attempt(async () => {
    const deletion = await read(client.api.jobs.presets[":id"].$delete({ param: { id: String(id) } }));
    setUsed("");
    setSaid("");
    offer(w.presetRemoved(forgotten), () => read(client.api.jobs.undo[":deletion"].$post({ param: { deletion: String(deletion.id) } })));
    again();
  });

  return (
    <div className="presets">
      {presets.length > 0 && (
        <div className="inline-form">
          <label className="field"><span>{w.preset}</span>
            <select value={used} onChange={(event) => void use(event.target.value)}>
              <option value="">{w.presetNone}</option>
              {presets.map((p) => <option key={p.id} value={p.name}>{p.name}</option>)}
            </select>
          </label>
          {chosen && <Button className="square" aria-label={w.presetRemove} onPress={() => forget(chosen.id, chosen.name)}><Icon name="close" /></Button>}
        </div>
      )}
      <SavePreset name={name} setName={setName} save={save} />
      {said && <p role="status" className="note">{said}</p>}
      {notice}
    </div>
  );
}

/** Keeps the present meanings under a name. */
function SavePreset({ name, setName, save }: { name: string; setName: (name: string) => void; save: () => Promise<void> }) {
  const words = useWords();
  const w = words.jobs.import;
  return (
    <details className="preset-save">
      <summary>{w.presetSave}</summary>
      <p className="note">{w.presetText}</p>
      <div className="inline-form">
        <TextBox label={w.presetName} value={name} onChange={setName} longest={60} />
        <Button className="button" isDisabled={name.trim() === ""} onPress={save}><Icon name="save" />{words.common.save}</Button>
      </div>
    </details>
  );
}
