import { useCallback, useState } from "react";
import { Button } from "react-aria-components";
import { client, read } from "../../frame/client.ts";
import { useHost } from "../../frame/useHost.ts";
import { Waiting } from "../../frame/Waiting.tsx";
import { useShop } from "../../settings/useSettings.tsx";
import type { Overview } from "../runData.ts";
import { saveCsv } from "../../frame/saveFile.ts";
import { useUndo } from "../../frame/useUndo.tsx";
import { asideCsv } from "./asideCsv.ts";
import { AsideTable } from "./AsideTable.tsx";
import { DecisionForm } from "./DecisionForm.tsx";
import { Decisions } from "./Decisions.tsx";
import { StackMap } from "./StackMap.tsx";

/** What to set aside of the stack, which sheet to check next, what its errors mean for the print, and what was decided. */
export function AsidePanel({ overview, changed }: { overview: Overview; changed(): void }) {
  const { words, figures, settings } = useShop();
  const w = words.runs.aside;
  const id = String(overview.run.id);
  const [asked, again] = useHost(useCallback(() => read(client.api.runs[":id"].setaside.$get({ param: { id } })), [id]));
  const [range, setRange] = useState<{ from: number; to: number } | null>(null);
  const refresh = useCallback(() => {
    again();
    changed();
  }, [again, changed]);
  const { offer, attempt, notice } = useUndo(refresh);
  if (asked.kind !== "ready") return <Waiting asked={asked} />;
  const { stack, sheets, expected, decisions } = asked.value;
  if (!stack) return <p className="note">{w.noNumbers}</p>;
  const { setAside: result } = stack;
  const count = (ranges: readonly { from: number; to: number }[]) => ranges.reduce((sum, r) => sum + r.to - r.from + 1, 0);
  const whole = (v: number) => figures.number(v, 0);
  const takeBack = (batch: number) => attempt(async () => {
    const param = { id, batch: String(batch) };
    await read(client.api.runs[":id"].decisions[":batch"].$delete({ param }));
    offer(w.takenBack, () => read(client.api.runs[":id"].decisions[":batch"].back.$post({ param })));
    refresh();
  });
  return (
    <div className="aside">
      {notice}
      {!stack.sheetsKnown && <p className="warnings">{w.guessed(String(stack.sheets))}</p>}
      {stack.outside > 0 && <p className="warnings">{w.unnumbered(String(stack.outside))}</p>}
      {result.next !== null && <p className="next-sheet">{words.runs.now.next(String(result.next), String(stack.sheets - result.next + 1))}</p>}
      {expected && <p>{words.runs.now.expected(whole(expected.expected), whole(expected.low), whole(expected.high), String(expected.suspects))} <small>{words.values[expected.by]}</small></p>}
      <p><b>{w.counts(String(result.bad.length), String(count(result.suspect)), String(count(result.clear)))}</b>; {w.open(String(sheets.filter((s) => s.open).length))}</p>
      <StackMap sheets={sheets} all={stack.sheets} choose={setRange} next={result.next} />
      <p className="caution">{w.lift}</p>
      <div className="buttons">
        <Button className="button" onPress={() => saveCsv(`${overview.run.name}-set-aside.csv`.replace(/[^\p{L}\p{N}.]+/gu, "-"), asideCsv(sheets, words, settings, figures))}>{w.csv}</Button>
        <a className="button" href={`#runs/${id}/print`}>{w.print}</a>
      </div>
      <DecisionForm id={id} range={range} changed={() => {
        setRange(null);
        refresh();
      }} />
      <AsideTable runId={id} sheets={sheets} all={stack.sheets} choose={setRange} />
      <Decisions decisions={decisions} takeBack={takeBack} />
    </div>
  );
}
