import { Button, DropZone, FileTrigger, Input, isFileDropItem, TextField } from "react-aria-components";
import type { Study } from "../../electron/host/app/routes/gaugeRoutes.ts";
import { Icon } from "../frame/Icon.tsx";
import { useUndo } from "../frame/useUndo.tsx";
import { useShop } from "../settings/useSettings.tsx";
import { keyOf, orderOf } from "../../core/gauge/plan.ts";
import type { GaugeValue } from "../../core/gauge/values.ts";
import { isLength } from "./plan.ts";
import type { StudyView } from "./useStudy.ts";

/** What to picture next, in large letters, and the table of what has been read. */
export function ReadingsSection({ view, study, ready, onPlan }: { view: StudyView; study: Study; ready: boolean; onPlan: () => void }) {
  const { words } = useShop();
  const w = words.gauge.take;
  const order = orderOf(study);
  const next = order.find((slot) => !(slot.key in study.readings));
  const done = order.filter((slot) => slot.key in study.readings).length;
  return (
    <section className="card">
      <h2>{w.title} <small>{w.of(String(done), String(order.length))}</small></h2>
      {next ? (
        <DropZone className="gauge-next" aria-label={words.cameras.take.dropHere} getDropOperation={() => "copy"} onDrop={async (event) => view.take(await Promise.all(event.items.filter(isFileDropItem).map((item) => item.getFile())))}>
          <p className="next-sheet">{w.next(study.operators[next.operator], study.sheets[next.sheet], String(next.repeat + 1))}</p>
          <p className="note">{w.how}</p>
          <div className="buttons">
            <FileTrigger allowsMultiple acceptedFileTypes={["image/*", ".tif", ".tiff", ".heic", ".heif", ".avif"]} onSelect={(files) => files && void view.take([...files])}>
              <Button className="main-button" isDisabled={!ready || view.measuring !== null}><Icon name="plus" />{w.add}</Button>
            </FileTrigger>
            <span className="note middle">{view.measuring === null ? w.several : w.measuring(view.measuring)}</span>
          </div>
        </DropZone>
      ) : <p role="status">{w.all}</p>}
      <ReadingsTable study={study} change={view.change} next={next?.key} />
      <div className="buttons"><Button className="button" onPress={onPlan}>{words.gauge.plan.change}</Button></div>
    </section>
  );
}

function ReadingsTable({ study, change, next }: { study: Study; change: (next: Study) => void; next: string | undefined }) {
  const { words, figures } = useShop();
  const w = words.gauge.take;
  const columns = study.operators.flatMap((name, operator) => Array.from({ length: study.repeats }, (_, repeat) => ({ name, operator, repeat })));
  const write = (v: number): string => figures.number(v, isLength(study.value) ? 3 : 2);
  const { offer, notice } = useUndo(() => undefined);
  const remove = (key: string) => {
    const { [key]: _removed, ...readings } = study.readings;
    change({ ...study, readings });
    offer(w.removed, async () => change({ ...study, readings: study.readings }));
  };
  const setReference = (sheet: string, text: string) => {
    const value = Number(text.replace(",", ".").replace("−", "-"));
    const { [sheet]: _old, ...rest } = study.references;
    change({ ...study, references: text.trim() === "" || !Number.isFinite(value) ? rest : { ...rest, [sheet]: value } });
  };
  return (
    <>
      <div className="wide-table">
        <table className="figures full gauge-readings">
          <caption className="unseen">{w.title}</caption>
          <thead><tr><th scope="col">{w.sheet}</th>{columns.map((c) => <th key={`${c.operator}/${c.repeat}`} scope="col">{w.reading(c.name, String(c.repeat + 1))}</th>)}<th scope="col">{w.reference}</th></tr></thead>
          <tbody>
            {study.sheets.map((sheet, i) => (
              <tr key={sheet}>
                <th scope="row">{sheet}</th>
                {columns.map((c) => {
                  const key = keyOf(i, c.operator, c.repeat);
                  const reading = study.readings[key];
                  return (
                    <td key={key} className={key === next ? "reading-next" : undefined}>
                      {reading ? (
                        <Button className="reading" aria-label={`${write(reading.values[study.value as GaugeValue])}: ${w.remove(sheet, c.name, String(c.repeat + 1))}`} onPress={() => remove(key)}>
                          {write(reading.values[study.value as GaugeValue])}<Icon name="close" />
                        </Button>
                      ) : "–"}
                    </td>
                  );
                })}
                <td><TextField className="field tiny" aria-label={`${w.reference}, ${w.sheet} ${sheet}`} defaultValue={sheet in study.references ? write(study.references[sheet]) : ""} onBlur={(event) => setReference(sheet, (event.target as HTMLInputElement).value)}><Input inputMode="decimal" /></TextField></td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {notice}
      <p className="note">{w.referenceNote}</p>
    </>
  );
}
