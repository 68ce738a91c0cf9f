import { Button, ListBox, ListBoxItem } from "react-aria-components";
import { markSize } from "../../../core/job/markSize.ts";
import type { Mark } from "../../../core/job/schema.ts";
import type { DraftJob } from "../../../electron/host/library/drafts.ts";
import { Icon } from "../../frame/Icon.tsx";
import { useShop } from "../../settings/useSettings.tsx";
import { Choice } from "../form/Choice.tsx";
import { GivenLength } from "../form/LengthBox.tsx";
import { NumberBox } from "../form/NumberBox.tsx";
import { TextBox } from "../form/TextBox.tsx";
import { intoSight } from "../form/intoSight.ts";
import { newMark, reshaped, withAt, withoutAt } from "./changes.ts";
import type { Edit } from "./useJobDoc.ts";

const SHAPES = ["dot", "ring", "cross", "checker", "square"] as const;

interface Props {
  readonly job: DraftJob;
  readonly edit: Edit;
  readonly chosen: number | null;
  readonly choose: (index: number | null) => void;
}

/** The marks, and the one that is chosen with everything that can be said of it. */
export function MarkForm({ job, edit, chosen, choose }: Props) {
  const { words, figures } = useShop();
  const w = words.jobs.edit;
  const mark = chosen === null ? undefined : job.marks[chosen];
  const add = () => {
    edit(null, (now) => ({ ...now, marks: [...now.marks, newMark(now)] }));
    choose(job.marks.length);
  };
  return (
    <>
      <p className="note">{w.marksText}</p>
      {job.marks.length > 0 && (
        <ListBox className="pick-list" aria-label={w.marks} selectionMode="single" selectedKeys={chosen === null ? [] : [String(chosen)]}
          onSelectionChange={(keys) => choose(keys === "all" || keys.size === 0 ? null : Number([...keys][0]))}>
          {job.marks.map((m, i) => (
            <ListBoxItem key={i} id={String(i)} className="pick" textValue={m.id}>
              <b>{m.id}</b> <small>{w.shapes[m.shape]} {figures.place(markSize(m))}, {figures.place(m.x)} / {figures.place(m.y)} {figures.lengthUnit}</small>
            </ListBoxItem>
          ))}
        </ListBox>
      )}
      <Button className="button" onPress={add}><Icon name="plus" />{w.addMark}</Button>
      {mark && chosen !== null && <OneMark key={chosen} mark={mark} index={chosen} edit={edit} removed={() => choose(null)} />}
    </>
  );
}

function OneMark({ mark, index, edit, removed }: { mark: Mark; index: number; edit: Edit; removed: () => void }) {
  const { words } = useShop();
  const w = words.jobs.edit;
  const set = (name: string | null, change: (m: Mark) => Mark) => edit(name && `mark ${index} ${name}`, (now) => ({ ...now, marks: withAt(now.marks, index, change) }));
  const length = (name: "x" | "y", label: string) => <GivenLength label={label} range="nonnegative" value={mark[name]} onChange={(v) => set(name, (m) => ({ ...m, [name]: v }))} />;
  return (
    <div className="one" role="group" aria-label={w.mark(mark.id)} ref={intoSight}>
      <h3>{w.mark(mark.id)}</h3>
      <div className="fields two">
        {length("x", w.x)}
        {length("y", w.y)}
      </div>
      <Choice className="compact" label={w.shape} value={mark.shape} onChange={(shape) => set(null, (m) => reshaped(m, shape))} options={SHAPES.map((s) => [s, w.shapes[s]] as const)} />
      <div className="fields two">
        <Sizes mark={mark} set={set} />
        <TextBox label={w.id} value={mark.id} onChange={(id) => id.trim() !== "" && set("id", (m) => ({ ...m, id }))} longest={64} />
      </div>
      <Choice className="compact" label={w.tone} value={mark.tone ?? "auto"} options={(["auto", "dark", "light"] as const).map((t) => [t, w.tones[t]] as const)}
        onChange={(tone) => set(null, (m) => ({ ...m, tone: tone === "auto" ? undefined : tone }))} />
      <Button className="button" onPress={() => {
        edit(null, (now) => ({ ...now, marks: withoutAt(now.marks, index) }));
        removed();
      }}><Icon name="close" />{w.removeMark}</Button>
    </div>
  );
}

function Sizes({ mark, set }: { mark: Mark; set: (name: string, change: (m: Mark) => Mark) => void }) {
  const { words } = useShop();
  const w = words.jobs.edit;
  if (mark.shape === "dot" || mark.shape === "checker") {
    return <GivenLength label={w.diameter} value={mark.diameter} onChange={(diameter) => set("diameter", (m) => (m.shape === "dot" || m.shape === "checker" ? { ...m, diameter } : m))} />;
  }
  if (mark.shape === "ring") {
    return (
      <>
        <GivenLength label={w.outer} value={mark.outer} onChange={(outer) => set("outer", (m) => (m.shape === "ring" ? { ...m, outer } : m))} />
        <GivenLength label={w.inner} value={mark.inner} onChange={(inner) => set("inner", (m) => (m.shape === "ring" ? { ...m, inner } : m))} />
      </>
    );
  }
  const size = <GivenLength label={w.size} value={mark.size} onChange={(v) => set("size", (m) => (m.shape === "cross" || m.shape === "square" ? { ...m, size: v } : m))} />;
  if (mark.shape === "square") return size;
  return (
    <>
      {size}
      <GivenLength label={w.stroke} step={0.1} value={mark.stroke} onChange={(stroke) => set("stroke", (m) => (m.shape === "cross" ? { ...m, stroke } : m))} />
      <NumberBox label={w.angle} unit="°" range="any" optional value={mark.angle} onChange={(angle) => set("angle", (m) => (m.shape === "cross" ? { ...m, angle } : m))} />
    </>
  );
}
