import { useShop } from "../settings/useSettings.tsx";
import { type TrendData, unitOf, writer } from "./trendData.ts";

/** What the chart says, in words and figures: has it moved, how fast, how long is left. */
export function TrendFacts({ data }: { data: TrendData }) {
  const { words, figures } = useShop();
  const write = writer(data, figures);
  const unit = unitOf(data, figures);
  const { statistics } = data;
  const moved = statistics.signals.some((signal) => signal.chart === "drift");
  const { drift, capability, baseline } = statistics;
  const facts: [string, string][] = [
    [words.runs.baseline, words.runs.rows(String(baseline.from), String(baseline.to))],
    ...(statistics.centre === undefined ? [] : [[words.runs.centre, `${write(statistics.centre)} ${unit}`] as [string, string]]),
    ...(drift ? [[words.runs.drift, `${write(drift.per100)} (${write(drift.low)} … ${write(drift.high)}) ${unit}`] as [string, string]] : []),
    ...(drift?.left ? [[words.runs.left, `${figures.number(drift.left.value, 0)} (${figures.number(drift.left.low, 0)} … ${drift.left.high === undefined || drift.left.high === null ? "∞" : figures.number(drift.left.high, 0)})`] as [string, string]] : []),
    ...(capability?.ppk === undefined ? [] : [[words.runs.ppk, figures.number(capability.ppk, 2)] as [string, string]]),
    ...(capability?.outShare === undefined ? [] : [[words.runs.outShare, figures.percent(capability.outShare)] as [string, string]]),
  ];
  return (
    <section className="run-facts">
      <p className={moved ? "warnings" : "note"}><b>{moved ? words.runs.moved : words.runs.steady}</b></p>
      <dl className="facts">{facts.map(([name, value]) => <div key={name}><dt>{name}</dt><dd>{value}</dd></div>)}</dl>
    </section>
  );
}
