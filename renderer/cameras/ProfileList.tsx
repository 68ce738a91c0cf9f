import type { InferResponseType } from "hono/client";
import { useCallback, useState } from "react";
import { Button, FileTrigger, Label, Radio, RadioGroup } from "react-aria-components";
import { client, read } from "../frame/client.ts";
import { Icon } from "../frame/Icon.tsx";
import { useHost } from "../frame/useHost.ts";
import { VerdictShape } from "../frame/VerdictShape.tsx";
import { Waiting } from "../frame/Waiting.tsx";
import { useUndo } from "../frame/useUndo.tsx";
import { useShop } from "../settings/useSettings.tsx";
import { GRADE_SHAPE } from "./Findings.tsx";
import { statedDevice } from "./profileText.ts";

type Own = InferResponseType<typeof client.api.cameras.$get, 200>["profiles"][number];

/** The shop's profiles, which one checks use, and the ways to a new one. */
export function ProfileList() {
  const w = useShop().words.cameras;
  const [asked, again] = useHost(useCallback(() => read(client.api.cameras.$get()), []));
  const [added, setAdded] = useState<string | null>(null);
  const { attempt, notice } = useUndo(again);
  const addFile = (files: FileList | null) => attempt(async () => {
    const text = await files?.[0]?.text();
    if (text === undefined) return;
    const { name } = await read<{ name: string }>(fetch("/api/cameras/file", { method: "POST", body: text }));
    setAdded(name);
    again();
  });
  if (asked.kind !== "ready") return <div className="page"><h1>{w.title}</h1><Waiting asked={asked} /></div>;
  const { profiles } = asked.value;
  return (
    <div className="page cameras">
      <h1>{w.title}</h1>
      <p className="note">{w.intro}</p>
      <div className="buttons">
        <a className="main-button" href="#cameras/new/camera"><Icon name="plus" />{w.makeCamera}</a>
        <a className="button" href="#cameras/new/scanner"><Icon name="plus" />{w.makeScanner}</a>
        <FileTrigger acceptedFileTypes={[".json", "application/json"]} onSelect={addFile}><Button className="button"><Icon name="open" />{w.addFile}</Button></FileTrigger>
      </div>
      {added && <p className="notice" role="status">{w.added(added)}</p>}
      {notice}
      {profiles.length === 0 ? <p className="empty-note">{w.none}</p> : (
        <>
          <ul className="run-list">
            {profiles.map((own) => <li key={own.id}><ProfileLink own={own} /></li>)}
          </ul>
          <UsedProfile profiles={profiles} />
        </>
      )}
      <a className="button self-start" href="#cameras/gauge"><Icon name="check" />{w.gauge}</a>
    </div>
  );
}

function ProfileLink({ own: { id, name, profile } }: { own: Own }) {
  const { words, figures } = useShop();
  const w = words.cameras;
  const device = statedDevice(profile);
  return (
    <a className="run" href={`#cameras/${id}`}>
      <span className="run-name">
        <b>{name}</b>
        <small>{[w.kinds[profile.kind], ...(device ? [device] : []), w.pictures(String(profile.pictures)), w.points(String(profile.points)), w.rms(figures.number(profile.rms, 3))].join(" · ")}</small>
      </span>
      <span className="run-count"><VerdictShape standing={GRADE_SHAPE[profile.verdict.grade]} />{w.grades[profile.verdict.grade]}</span>
    </a>
  );
}

/** Which profile checks use: that of the camera a picture names, always the same, or none. */
function UsedProfile({ profiles }: { profiles: readonly Own[] }) {
  const { words, settings, change } = useShop();
  const w = words.cameras;
  return (
    <RadioGroup className="choice choice-column card" value={settings.profile} onChange={(profile) => void change({ profile })}>
      <Label>{w.use}</Label>
      <div className="choice-options">
        <Radio value="auto" className="choice-option">{w.useAuto}</Radio>
        {profiles.map(({ id, name }) => <Radio key={id} value={String(id)} className="choice-option">{w.useOne(name)}</Radio>)}
        <Radio value="none" className="choice-option">{w.useNone}</Radio>
      </div>
      <p className="note">{w.useNote}</p>
    </RadioGroup>
  );
}
