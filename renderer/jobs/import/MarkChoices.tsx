import { Button, Checkbox } from "react-aria-components";
import { markSize } from "../../../core/job/markSize.ts";
import { useShop } from "../../settings/useSettings.tsx";
import type { DrawingView } from "../worker/protocol.ts";
import { type Choices, toggledMark } from "./choices.ts";

/** Longer lists are chosen from on the drawing. */
const LISTED = 40;

/** Marks found in the drawing, to be taken or left. Those of layers that mean marks come first and are taken already. */
export function MarkChoices({ view, choices, change }: { view: DrawingView; choices: Choices; change: (part: Partial<Choices>) => void }) {
  const { words, figures } = useShop();
  const w = words.jobs.import;
  const all = view.candidates;
  if (all.length === 0) return <p className="note">{w.marksNone}</p>;
  const listed = [...all.entries()].sort(([, a], [, b]) => Number(choices.meanings[b.group] === "mark") - Number(choices.meanings[a.group] === "mark")).slice(0, LISTED);
  return (
    <>
      <p className="note">{w.marksText}</p>
      <div className="buttons marks-buttons">
        <span role="status">{w.marksTaken(choices.marks.size, all.length)}</span>
        <Button className="button" onPress={() => change({ marks: new Set(all.keys()) })}>{w.marksAll}</Button>
        <Button className="button" onPress={() => change({ marks: new Set() })}>{w.marksNoneOf}</Button>
      </div>
      <ul className="mark-list">
        {listed.map(([i, { group, mark }]) => (
          <li key={i}>
            <Checkbox className="check-option" isSelected={choices.marks.has(i)} onChange={() => change(toggledMark(choices, i))}>
              <span className="check-box" aria-hidden="true" />
              <span>{words.jobs.edit.shapes[mark.shape]} {figures.place(markSize(mark))} {figures.lengthUnit} <small>({figures.place(mark.x)}, {figures.place(mark.y)}), {view.groups[group].name}</small></span>
            </Checkbox>
          </li>
        ))}
      </ul>
      {all.length > LISTED && <p className="note">{w.marksMore(all.length - LISTED)}</p>}
    </>
  );
}
