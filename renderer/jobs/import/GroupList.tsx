import { useEffect, useRef } from "react";
import type { Meaning } from "../../../core/job/import/drawing.ts";
import { useShop } from "../../settings/useSettings.tsx";
import { Choice } from "../form/Choice.tsx";
import type { DrawingView } from "../worker/protocol.ts";
import { MEANINGS } from "./meanings.ts";

interface Props {
  readonly view: DrawingView;
  readonly meanings: readonly Meaning[];
  readonly chosen: number | null;
  readonly choose: (group: number) => void;
  readonly mean: (group: number, meaning: Meaning) => void;
}

/** Each layer, colour and step with what it means; the one chosen on the drawing comes into sight. */
export function GroupList({ view, meanings, chosen, choose, mean }: Props) {
  const { words } = useShop();
  const w = words.jobs;
  const rows = useRef(new Map<number, HTMLElement>());
  useEffect(() => {
    if (chosen !== null) rows.current.get(chosen)?.scrollIntoView({ block: "nearest" });
  }, [chosen]);
  return (
    <ul className="groups">
      {view.groups.map((group, i) => (
        <li key={`${group.kind} ${group.name}`} ref={(row) => void (row ? rows.current.set(i, row) : rows.current.delete(i))}
          className="group" data-chosen={i === chosen || undefined}>
          <span className="group-name"><span className={`line-look look-${meanings[i]}`} aria-hidden="true" /><b>{group.name || "–"}</b><small>{w.kinds[group.kind]}, {w.import.lines(String(view.counts[i]))}</small></span>
          <Choice quiet className="compact" label={w.import.meaningOf(group.name)} value={meanings[i]} onChange={(meaning) => mean(i, meaning)} onFocus={() => i !== chosen && choose(i)}
            options={MEANINGS.map((meaning) => [meaning, w.meanings[meaning]] as const)} />
        </li>
      ))}
    </ul>
  );
}
