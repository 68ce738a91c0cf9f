import { useShop } from "../../settings/useSettings.tsx";
import { useSentence } from "../../words/useSentence.ts";
import { Section } from "../../sheet/Section.tsx";
import { type Charts, scaleOf } from "../runData.ts";
import { CapabilityTable } from "./CapabilityTable.tsx";
import { placeName } from "./kinds.ts";

/** A signal at the very end counts as present. */
const RECENT = 5;

/** What the charts of a value say, in words and figures: has it moved, how fast, when and beside what, and is it capable. */
export function ChartFacts({ data }: { data: Charts }) {
  const { words, figures } = useShop();
  const say = useSentence();
  const w = words.runs.facts;
  const scale = scaleOf(data.value, words, figures);
  const { statistics: t } = data;
  const drifts = data.signals.filter((s) => s.chart === "drift").flatMap((s) => s.at);
  const said = drifts.some((at) => at > t.n - RECENT) ? w.moved : drifts.length > 0 ? w.movedBefore : w.steady;
  const place = (at: number) => placeName(data, at - 1, words);
  const whole = (v: number | null | undefined) => (v == null ? "∞" : figures.number(v, 0));
  const { drift } = t;
  return (
    <div className="facts-grid">
      <Section title={w.said} open>
        <p className={said === w.moved ? "warnings" : "note"}><b>{said}</b></p>
        <dl className="facts">
          {drift && <div><dt>{w.drift}, {w.leastSquares}</dt><dd>{scale.write(drift.per100, true)} ({scale.write(drift.low, true)} … {scale.write(drift.high, true)}) {scale.unit}</dd></div>}
          {drift?.robustPer100 !== undefined && <div><dt>{w.drift}, {w.theilSen}</dt><dd>{scale.write(drift.robustPer100, true)} {scale.unit}</dd></div>}
          {drift?.mannKendallP !== undefined && <div><dt>{w.mannKendall}</dt><dd>{pText(drift.mannKendallP, figures)}</dd></div>}
          {drift?.since !== undefined && <div><dt>{w.since}</dt><dd>{words.runs[data.orderedBy === "sheet" ? "sheetN" : "rowN"](whole(drift.since))}</dd></div>}
          {drift?.left && <div><dt>{w.left}</dt><dd>{whole(drift.left.value)} ({whole(drift.left.low)} … {whole(drift.left.high)})</dd></div>}
          {t.centre !== undefined && <div><dt>{w.centre}</dt><dd>{scale.write(t.centre, true)} {scale.unit}</dd></div>}
          {t.sigmaWithin !== undefined && <div><dt>{w.within}</dt><dd>{scale.write(t.sigmaWithin)} {scale.unit}{t.process?.sigmaWithin !== undefined && <small>{w.process}: {scale.write(t.process.sigmaWithin)}</small>}</dd></div>}
          {t.sigmaOverall !== undefined && <div><dt>{w.overall}</dt><dd>{scale.write(t.sigmaOverall)} {scale.unit}{t.process?.sigmaOverall !== undefined && <small>{w.process}: {scale.write(t.process.sigmaOverall)}</small>}</dd></div>}
        </dl>
      </Section>
      <Section title={w.changes} open>
        {data.changes.length === 0 ? <p className="note">{w.noChanges}</p> : (
          <ul>
            {data.changes.map((c) => (
              <li key={c.at}>{w.change(place(c.at), `${scale.write(c.shift, true)} ${scale.unit}`, pText(c.p, figures))}; {c.event ? w.beside(words.runs.events.kinds[c.event.kind]) : w.unlogged}</li>
            ))}
          </ul>
        )}
        <h3>{w.signals}</h3>
        <Signals data={data} place={place} />
      </Section>
      <Section title={w.capability} open><CapabilityTable capability={t.capability} /></Section>
      {t.notes.length > 0 && <Section title={w.notes}><ul>{t.notes.map((note) => <li key={note}>{say(note)}</li>)}</ul></Section>}
    </div>
  );
}

function Signals({ data, place }: { data: Charts; place(at: number): string }) {
  const { words } = useShop();
  const w = words.runs;
  const names = { ...w.charts.kinds, drift: w.charts.drift };
  if (data.signals.length === 0) return <p className="note">{w.facts.noSignals}</p>;
  return <ul>{data.signals.map((g) => <li key={`${g.chart} ${g.rule}`}>{w.facts.signal(names[g.chart], w.facts.rules[g.rule] ?? g.rule, place(g.at[0]), String(g.at.length))}</li>)}</ul>;
}

const pText = (p: number, figures: { number(value: number, decimals: number): string }): string => (p < 0.0001 ? `< ${figures.number(0.0001, 4)}` : figures.number(p, 4));
