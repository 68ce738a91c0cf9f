import { useMemo, useState } from "react";
import { Button, Input, ListBox, ListBoxItem, ListLayout, SearchField, Virtualizer } from "react-aria-components";
import { flattenCut } from "../../../core/job/paths.ts";
import type { Cut } from "../../../core/job/schema.ts";
import type { DraftJob } from "../../../electron/host/library/drafts.ts";
import { Icon } from "../../frame/Icon.tsx";
import { useShop } from "../../settings/useSettings.tsx";
import { Choice } from "../form/Choice.tsx";
import { TextBox } from "../form/TextBox.tsx";
import { intoSight } from "../form/intoSight.ts";
import { withAt, withoutAt } from "./changes.ts";
import type { Edit } from "./useJobDoc.ts";

interface Props {
  readonly job: DraftJob;
  readonly edit: Edit;
  readonly chosen: number | null;
  readonly choose: (index: number | null) => void;
}

/** Lists longer than this can be searched. */
const SEARCHED = 12;

/** Cuts and creases, however many, and the one that is chosen. */
export function CutForm({ job, edit, chosen, choose }: Props) {
  const { words } = useShop();
  const w = words.jobs.edit;
  const [wanted, setWanted] = useState("");
  const rows = useMemo(() => {
    const text = wanted.trim().toLowerCase();
    return job.cuts.flatMap((cut, index) => (text === "" || cut.id.toLowerCase().includes(text) ? [{ id: String(index), cut }] : []));
  }, [job.cuts, wanted]);
  const cut = chosen === null ? undefined : job.cuts[chosen];
  return (
    <>
      <p className="note">{w.cutsText}</p>
      {job.cuts.length > SEARCHED && <SearchField className="number text" aria-label={w.search} value={wanted} onChange={setWanted}><Input placeholder={w.search} /></SearchField>}
      {rows.length > 0 && (
        <Virtualizer layout={ListLayout} layoutOptions={{ rowHeight: rowHeight() }}>
          <ListBox className="pick-list long" aria-label={w.cuts} items={rows} selectionMode="single" selectedKeys={chosen === null ? [] : [String(chosen)]}
            style={{ height: Math.min(rows.length, 6) * rowHeight() + 4 }}
            onSelectionChange={(keys) => choose(keys === "all" || keys.size === 0 ? null : Number([...keys][0]))}>
            {(row) => (
              <ListBoxItem id={row.id} className="pick" textValue={row.cut.id}>
                <span className={`line-look look-${row.cut.kind}`} aria-hidden="true" /><b>{row.cut.id}</b> <small>{words.jobs.meanings[row.cut.kind]}</small>
              </ListBoxItem>
            )}
          </ListBox>
        </Virtualizer>
      )}
      {cut && chosen !== null && <OneCut key={chosen} cut={cut} index={chosen} job={job} edit={edit} removed={() => choose(null)} />}
    </>
  );
}

/** A row that grows with the text. */
function rowHeight(): number {
  return 2.5 * Number.parseFloat(getComputedStyle(document.documentElement).fontSize);
}

function OneCut({ cut, index, job, edit, removed }: { cut: Cut; index: number; job: DraftJob; edit: Edit; removed: () => void }) {
  const { words, figures } = useShop();
  const w = words.jobs.edit;
  const set = (name: string | null, change: (c: Cut) => Cut) => edit(name && `cut ${index} ${name}`, (now) => ({ ...now, cuts: withAt(now.cuts, index, change) }));
  const length = useMemo(() => flattenCut(cut).reduce((sum, part) => sum + part.length, 0), [cut]);
  const judged = cut.kind === "cut" ? w.judgedCut : job.tolerance.crease === undefined ? w.notJudged : w.judgedCrease;
  const size = "circle" in cut ? w.circle(figures.length(cut.circle.diameter), figures.lengthUnit) : w.length(figures.place(length), figures.lengthUnit);
  return (
    <div className="one" role="group" aria-label={cut.id} ref={intoSight}>
      <h3>{cut.id}</h3>
      <TextBox label={w.name} value={cut.id} onChange={(id) => id.trim() !== "" && set("id", (c) => ({ ...c, id }))} longest={64} />
      <Choice className="compact" label={w.kind} value={cut.kind} onChange={(kind) => set(null, (c) => ({ ...c, kind }))} options={(["cut", "crease"] as const).map((k) => [k, words.jobs.meanings[k]] as const)} />
      <p className="note">{size}. {judged}</p>
      <Button className="button" onPress={() => {
        edit(null, (now) => ({ ...now, cuts: withoutAt(now.cuts, index) }));
        removed();
      }}><Icon name="close" />{w.removeCut}</Button>
    </div>
  );
}
