import { type FormEvent, useCallback, useState } from "react";
import { Button, DropZone, FileTrigger, Input, isFileDropItem, Label, Radio, RadioGroup, TextField } from "react-aria-components";
import type { Profile } from "../../core/camera/profile.ts";
import type { Paper, TargetKind } from "../../electron/host/calibrate/targetPdf.ts";
import { client, read } from "../frame/client.ts";
import { Fault } from "../frame/Fault.tsx";
import { Icon } from "../frame/Icon.tsx";
import { go } from "../frame/useHash.ts";
import { useHost } from "../frame/useHost.ts";
import { useShop, useWords } from "../settings/useSettings.tsx";
import { useSentence } from "../words/useSentence.ts";
import { Coverage } from "./Coverage.tsx";
import { Findings } from "./Findings.tsx";
import { ProfileFacts } from "./ProfileFacts.tsx";
import { statedDevice } from "./profileText.ts";
import { ResidualMap } from "./ResidualMap.tsx";
import { type Made, type SetEntry, useTargetSet } from "./useTargetSet.ts";

/** Making a profile in four steps on one page: target, pictures, verdict, name. Nothing has to be pressed between them. */
export function NewProfile({ kind }: { kind: Profile["kind"] }) {
  const words = useWords();
  const w = words.cameras;
  const [target, setTarget] = useState<TargetKind>("dots");
  const [paper, setPaper] = useState<Paper>("a4");
  const [rules, setRules] = useState<{ x: number; y: number } | undefined>(undefined);
  const { entries, made, add, remove } = useTargetSet({ kind, target, paper, rules });
  return (
    <div className="page wide cameras">
      <a className="back" href="#cameras">‹ {w.back}</a>
      <h1>{kind === "scanner" ? w.makeScanner : w.makeCamera}</h1>
      <div className="new-profile">
        <PrintStep kind={kind} target={target} onTarget={setTarget} paper={paper} onPaper={setPaper} onRules={setRules} />
        <TakeStep kind={kind} entries={entries} onAdd={add} onRemove={remove} />
        <VerdictStep made={made} />
        {made.state === "made" && <><ProfileFacts profile={made.profile} /><ResidualMap profile={made.profile} /><SaveStep profile={made.profile} /></>}
      </div>
    </div>
  );
}

interface Printing {
  readonly kind: Profile["kind"];
  readonly target: TargetKind;
  readonly onTarget: (target: TargetKind) => void;
  readonly paper: Paper;
  readonly onPaper: (paper: Paper) => void;
  readonly onRules: (rules: { x: number; y: number } | undefined) => void;
}

function PrintStep({ kind, target, onTarget, paper, onPaper, onRules }: Printing) {
  const { words, figures } = useShop();
  const w = words.cameras;
  const [typed, setTyped] = useState({ x: "", y: "" });
  const [asked] = useHost(useCallback(() => read(client.api.cameras.target[":kind"][":paper"].$get({ param: { kind: target, paper } })), [target, paper]));
  const nominal = asked.kind === "ready" ? asked.value.rules : null;
  const length = (text: string) => Number(text.replace(",", "."));
  const near = (axis: "x" | "y", text: string) => nominal !== null && length(text) > 0.9 * nominal[axis] && length(text) < 1.1 * nominal[axis];
  const type = (axis: "x" | "y", text: string) => {
    const now = { ...typed, [axis]: text };
    setTyped(now);
    onRules(near("x", now.x) && near("y", now.y) ? { x: length(now.x), y: length(now.y) } : undefined);
  };
  const wrong = (["x", "y"] as const).filter((axis) => typed[axis].trim() !== "" && !near(axis, typed[axis]));
  const missing = wrong.length === 0 && (typed.x.trim() === "") !== (typed.y.trim() === "");
  // Another print has rules of its own.
  const forget = () => {
    setTyped({ x: "", y: "" });
    onRules(undefined);
  };
  const chooseTarget = (next: TargetKind) => {
    forget();
    onTarget(next);
  };
  const choosePaper = (next: Paper) => {
    forget();
    onPaper(next);
  };
  return (
    <section className="card">
      <h2>{w.step("1", w.print.title)}</h2>
      <RadioGroup className="choice" value={target} onChange={(value) => chooseTarget(value as TargetKind)}>
        <Label>{w.print.target}</Label>
        <div className="choice-options"><Radio value="dots" className="choice-option">{w.print.dots}</Radio><Radio value="charuco" className="choice-option">{w.print.charuco}</Radio></div>
      </RadioGroup>
      <p className="note">{target === "dots" ? w.print.dotsNote : w.print.charucoNote}</p>
      <RadioGroup className="choice" value={paper} onChange={(value) => choosePaper(value as Paper)}>
        <Label>{w.print.paper}</Label>
        <div className="choice-options"><Radio value="a4" className="choice-option">{w.print.a4}</Radio><Radio value="a3" className="choice-option">{w.print.a3}</Radio></div>
      </RadioGroup>
      <a className="button self-start" href={`/api/cameras/target/${target}/${paper}/pdf`} download={`calibration-target-${target}-${paper}.pdf`}><Icon name="print" />{w.print.get}</a>
      <p>{w.print.how}</p>
      <p>{w.print.rules} {kind === "scanner" ? w.print.rulesScanner : w.print.rulesCamera}</p>
      {nominal && <div className="inline-form">
        <TextField className="field" value={typed.x} onChange={(t) => type("x", t)} inputMode="decimal"><Label>{w.print.ruleX(figures.number(nominal.x, 0))}</Label><Input /></TextField>
        <TextField className="field" value={typed.y} onChange={(t) => type("y", t)} inputMode="decimal"><Label>{w.print.ruleY(figures.number(nominal.y, 0))}</Label><Input /></TextField>
      </div>}
      {nominal && wrong.map((axis) => <p key={axis} className="warnings" role="status">{w.print.ruleOff(figures.number(nominal[axis], 0))}</p>)}
      {missing && <p className="note" role="status">{w.print.ruleMissing}</p>}
    </section>
  );
}

function TakeStep({ kind, entries, onAdd, onRemove }: { kind: Profile["kind"]; entries: readonly SetEntry[]; onAdd: (files: readonly File[]) => void; onRemove: (key: string) => void }) {
  const words = useWords();
  const say = useSentence();
  const w = words.cameras.take;
  const done = entries.filter((e) => e.state !== "waiting" && e.state !== "reading").length;
  return (
    <section className="card">
      <h2>{words.cameras.step("2", w.title)}</h2>
      <p>{kind === "scanner" ? w.scanner : w.camera}</p>
      <DropZone className="target-drop" aria-label={w.title} getDropOperation={() => "copy"} onDrop={async (event) => onAdd(await Promise.all(event.items.filter(isFileDropItem).map((item) => item.getFile())))}>
        {({ isDropTarget }) => (
          <>
            <FileTrigger allowsMultiple acceptedFileTypes={["image/*", ".tif", ".tiff", ".heic", ".heif", ".avif"]} onSelect={(files) => files && onAdd([...files])}>
              <Button className="main-button"><Icon name="plus" />{w.add}</Button>
            </FileTrigger>
            <span className="note">{isDropTarget ? w.dropHere : w.drop}</span>
            {entries.length > 0 && done < entries.length && <span role="status">{w.progress(String(done), String(entries.length))}</span>}
          </>
        )}
      </DropZone>
      {entries.length > 0 && (
        <ul className="target-pictures">
          {entries.map((e) => (
            <li key={e.key} className={`target-picture target-${e.state}`}>
              <span className="target-name">{e.name}</span>
              <span className="target-state">
                {e.state === "read" && w.dots(String(e.picture?.points.length ?? 0))}
                {e.state === "reading" && w.reading}
                {e.state === "waiting" && w.waiting}
                {e.state === "unread" && `${w.left}: ${say(e.reason ?? "")}`}
                {e.state === "failed" && `${w.failed}: ${e.error?.message ?? ""}`}
              </span>
              <Button className="square" aria-label={w.leave(e.name)} onPress={() => onRemove(e.key)}><Icon name="close" /></Button>
            </li>
          ))}
        </ul>
      )}
      <Coverage pictures={entries.flatMap((e) => e.picture ?? [])} />
    </section>
  );
}

function VerdictStep({ made }: { made: Made }) {
  const words = useWords();
  const say = useSentence();
  const w = words.cameras.verdict;
  return (
    <section className="card" aria-live="polite">
      <h2>{words.cameras.step("3", w.title)}</h2>
      {made.state === "nothing" && <p className="note">{w.nothing}</p>}
      {made.state === "working" && <p className="note" role="status">{w.working}</p>}
      {made.state === "impossible" && <p className="warnings">{w.impossible(say(made.reason))}</p>}
      {made.state === "failed" && <Fault error={made.error} />}
      {made.state === "made" && <Findings verdict={made.profile.verdict} />}
    </section>
  );
}

function SaveStep({ profile }: { profile: Profile }) {
  const { words, change } = useShop();
  const w = words.cameras.save;
  const [fault, setFault] = useState<Error | null>(null);
  const [name, setName] = useState(statedDevice(profile) ?? "");
  const save = async (event: FormEvent<HTMLFormElement>) => {
    event.preventDefault();
    try {
      const { id } = await read(client.api.cameras.$post({ json: { profile: { ...profile, name: name.trim() } } }));
      // A camera that names itself is found again by itself; anything else has to be chosen.
      await change({ profile: statedDevice(profile) && profile.kind === "camera" ? "auto" : String(id) });
      go("cameras", String(id));
    } catch (error) {
      setFault(error as Error);
    }
  };
  return (
    <form className="card" onSubmit={save}>
      <h2>{words.cameras.step("4", w.title)}</h2>
      {profile.verdict.grade === "poor" && <p className="warnings">{w.poor}</p>}
      <div className="inline-form">
        <TextField className="field" value={name} onChange={setName} isRequired maxLength={120}><Label>{w.name}</Label><Input /></TextField>
        <Button type="submit" className="main-button"><Icon name="save" />{w.save}</Button>
      </div>
      {fault && <Fault error={fault} />}
    </form>
  );
}
