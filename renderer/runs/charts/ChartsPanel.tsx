import { memo, useCallback, useDeferredValue, useMemo, useRef, useState } from "react";
import { Button, Label, Radio, RadioGroup } from "react-aria-components";
import { client, read } from "../../frame/client.ts";
import { go } from "../../frame/useHash.ts";
import { useHost } from "../../frame/useHost.ts";
import { Waiting } from "../../frame/Waiting.tsx";
import { useShop } from "../../settings/useSettings.tsx";
import { type Charts, type Overview, type Value, VALUES } from "../runData.ts";
import { BaselineForm } from "./BaselineForm.tsx";
import { ChartFacts } from "./ChartFacts.tsx";
import { ChartTable } from "./ChartTable.tsx";
import { chartCsv } from "./chartCsv.ts";
import { KINDS, type Kind, plotOf, wearPlot } from "./kinds.ts";
import { Plot, type PlotHandle } from "./Plot.tsx";
import { saveCsv, saveFrom } from "../../frame/saveFile.ts";

/** Charts of one value of the run, what they say, and their figures. What the reader chose stays while the page is open. */
export default function ChartsPanel({ overview, check, changed }: { overview: Overview; check?: string; changed(): void }) {
  const { words } = useShop();
  const w = words.runs.charts;
  const id = String(overview.run.id);
  const [value, setValue] = useState<Value>("offsetX");
  const [kind, setKind] = useState<Kind>("individuals");
  const [lambda, setLambda] = useState("0.2");
  const asksBoth = kind === "t2";
  const shown: Value = asksBoth ? "offsetX" : value;
  const [asked, again] = useHost(useCallback(
    async () => ({ both: asksBoth, data: await read(client.api.runs[":id"].trend.$get({ param: { id }, query: { value: shown, lambda: Number(lambda), ...(asksBoth && { second: "offsetY" }) } })) }),
    [id, shown, lambda, asksBoth],
  ));
  // A chart of 10,000 checks takes a tenth of a second to draw: the choice is seen to be made before.
  const drawn = useDeferredValue(kind);
  const answer = asked.kind === "ready" && asked.value.both === (drawn === "t2") ? asked.value.data : null;
  const hasCreases = overview.job.tolerance.crease !== undefined;
  return (
    <>
      <div className="chart-choices">
        <RadioGroup className="choice" value={kind} onChange={(next) => setKind(next as Kind)}>
          <Label>{w.chart}</Label>
          <div className="choice-options">{KINDS.map((one) => <Radio key={one} value={one} className="choice-option">{w.kinds[one]}</Radio>)}</div>
        </RadioGroup>
        {kind !== "t2" && (
          <label className="field"><b>{w.value}</b>
            <select value={value} onChange={(event) => setValue(event.target.value as Value)}>
              {VALUES.filter((one) => one !== "crease" || hasCreases).map((one) => <option key={one} value={one}>{words.values[one]}</option>)}
            </select>
          </label>
        )}
        {kind === "ewma" && (
          <label className="field"><b>{w.lambda}</b>
            <select value={lambda} onChange={(event) => setLambda(event.target.value)}>{["0.05", "0.1", "0.2", "0.3", "0.4"].map((one) => <option key={one}>{one}</option>)}</select>
          </label>
        )}
        <BaselineForm run={overview.run} changed={() => {
          again();
          changed();
        }} />
      </div>
      <p className="note">{w.kindHelp[kind]}</p>
      {answer ? <Drawn key={`${drawn} ${answer.value}`} id={id} kind={drawn} data={answer} overview={overview} check={check} /> : <Waiting asked={asked} />}
    </>
  );
}

const Drawn = memo(function Drawn({ id, kind, data, overview, check }: { id: string; kind: Kind; data: Charts; overview: Overview; check?: string }) {
  const { words, figures, settings } = useShop();
  const w = words.runs.charts;
  const handle = useRef<PlotHandle>(null);
  const [wear] = useHost(useCallback(async () => (kind === "wear" ? await read(client.api.runs[":id"].wear.$get({ param: { id }, query: { value: data.value } })) : []), [id, kind, data.value]));
  const [tools] = useHost(useCallback(() => read(client.api.records.tools.$get()), []));
  const plot = useMemo(() => {
    if (kind !== "wear") return plotOf(kind, data, words, figures);
    if (wear.kind !== "ready" || tools.kind !== "ready") return undefined;
    return wearPlot(wear.value, data, new Map(tools.value.map((t) => [t.id, t.name])), words, figures);
  }, [kind, data, wear, tools, words, figures]);
  const open = useCallback((row: number) => go("check", "run", id, String(data.checkIds[row])), [data, id]);
  const start = check === undefined ? null : data.checkIds.indexOf(Number(check));
  const name = `${overview.run.name} ${words.runs.charts.kinds[kind]} ${words.values[data.value]}`.replace(/[^\p{L}\p{N}]+/gu, "-");
  if (plot === undefined) return <p className="quiet" role="status">{words.common.loading}</p>;
  return (
    <>
      {plot === null ? <p className="note">{kind === "wear" ? w.noWear : w.nothing}</p> : (
        <Plot data={plot} start={start === null || start < 0 ? null : start} open={open} handle={handle}>
          <Button className="button" onPress={() => saveFrom(`${name}.png`, handle.current?.png() ?? "")}>{w.png}</Button>
          <Button className="button" onPress={() => saveCsv(`${name}.csv`, chartCsv(data, words, settings, figures.decimal))}>{w.csv}</Button>
        </Plot>
      )}
      <ChartFacts data={data} />
      <ChartTable data={data} runId={id} />
    </>
  );
});
