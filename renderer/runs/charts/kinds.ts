import type { Figures } from "../../figures/figures.ts";
import type { Words } from "../../words/words.ts";
import { type Charts, type Scale, scaleOf, type Wear } from "../runData.ts";
import { brokenLine, type PlotData, type PlotLevel, type PlotLine } from "./plotData.ts";

export const KINDS = ["individuals", "ewma", "movingRange", "cusum", "t2", "wear"] as const;
export type Kind = (typeof KINDS)[number];

/** Where the rows of a run stand and how they are named. */
interface Rows {
  readonly data: Charts;
  readonly words: Words;
  readonly figures: Figures;
  readonly scale: Scale;
}

/** What a chart of this kind shows of a run's value; null where there is nothing to draw. */
export function plotOf(kind: Exclude<Kind, "wear">, data: Charts, words: Words, figures: Figures): PlotData | null {
  const rows: Rows = { data, words, figures, scale: scaleOf(data.value, words, figures) };
  const drawn = { individuals, ewma, movingRange, cusum, t2 }[kind](rows);
  return drawn && drawn.lines.length > 0 ? { ...about(kind, rows), ...drawn } : null;
}

type Drawn = Pick<PlotData, "lines" | "levels"> & Partial<PlotData>;

function about(kind: Exclude<Kind, "wear">, { data, words, scale }: Rows): Omit<PlotData, "lines" | "levels"> {
  const w = words.runs;
  const named = (row: number): string => placeName(data, row, words);
  const charts = new Set<string>(kind === "ewma" ? ["drift", "ewma"] : kind === "individuals" ? ["individuals", "drift"] : [kind]);
  const marked = new Map<number, "signal" | "bad" | "outlier">();
  data.verdicts.forEach((verdict, i) => verdict !== "in" && marked.set(i, "bad"));
  // Of an excursion only its first point is marked: all of them would hide the curve.
  const signalled = new Set(data.signals.filter((s) => charts.has(s.chart)).flatMap((s) => s.at.map((at) => at - 1)));
  for (const row of signalled) if (!signalled.has(row - 1) && !marked.has(row)) marked.set(row, "signal");
  if (kind === "individuals") for (const at of data.outliers) marked.set(at - 1, "outlier");
  const signalsAt = new Map<number, string[]>();
  for (const { rule, at } of data.signals) {
    for (const row of at) {
      const said = signalsAt.get(row - 1);
      if (said) said.push(w.facts.rules[rule] ?? rule);
      else signalsAt.set(row - 1, [w.facts.rules[rule] ?? rule]);
    }
  }
  return {
    label: w.charts.label(w.charts.kinds[kind], kind === "t2" ? words.values.offset : scale.name),
    xLabel: data.orderedBy === "sheet" ? w.sheet : w.row, yLabel: kind === "t2" ? w.charts.t2 : `${scale.name} (${scale.unit})`,
    marked,
    verticals: [
      ...data.events.flatMap(({ event, at }) => (at === null ? [] : [{ x: data.order[at - 1], label: w.events.kinds[event.kind], look: "event" as const }])),
      ...data.changes.filter((c) => !c.event).map((c) => ({ x: data.order[c.at - 1], label: w.facts.unlogged, look: "change" as const })),
    ],
    tell: (row) => {
      const [value, U] = [data.values[row], data.U[row]];
      const figures = value === null ? "–" : `${scale.write(value, true)}${U == null ? "" : ` ± ${scale.write(U)}`} ${scale.unit}`;
      return [named(row), figures, words.verdict[data.verdicts[row]].word, ...new Set(signalsAt.get(row) ?? [])].join(" · ");
    },
  };
}

/** A row by its sheet, else by its number. `row` counts from 0. */
export function placeName(data: Pick<Charts, "sheets" | "orderedBy">, row: number, words: Words): string {
  const sheet = data.sheets[row];
  return sheet == null ? words.runs.rowN(String(row + 1)) : words.runs.sheetN(sheet);
}

function individuals({ data, words, scale }: Rows): Drawn {
  const { statistics: t, order, values, U, limits } = data;
  const w = words.runs.charts;
  const shown = values.map((v) => (v === null ? null : scale.convert(v)));
  const edge = (side: 1 | -1) => brokenLine(order, values.map((v, i) => (v === null || U[i] == null ? null : scale.convert(v + side * (U[i] ?? 0)))));
  return {
    lines: [
      { label: w.reading, look: "points", ...brokenLine(order, shown) },
      { label: `${w.reading} − U`, look: "low", ...edge(-1) }, { label: `${w.reading} + U`, look: "high", ...edge(1) },
    ],
    levels: [...toleranceOf(limits, scale, w.tolerance), ...(t.individuals ? control(scale, w, t.individuals.lcl, t.individuals.ucl, t.centre) : [])],
  };
}

function ewma({ data: { statistics: t, order, limits }, words, scale }: Rows): Drawn | null {
  const w = words.runs.charts;
  if (!t.ewma || !t.driftChart) return null;
  const curve = (label: string, look: PlotLine["look"], y: readonly (number | null)[]): PlotLine => ({ label, look, ...brokenLine(order, y.map((v) => (v === null ? null : scale.convert(v)))) });
  return {
    lines: [
      curve(w.drift, "thick", t.driftChart.values), curve(w.driftLimit, "thickLimit", t.driftChart.lcl), curve(w.driftLimit, "thickLimit", t.driftChart.ucl),
      ...(t.ewma.lambda === t.driftChart.lambda ? [] : [curve(w.average, "second", t.ewma.values)]),
      curve(w.averageLimit, "limit", t.ewma.lcl), curve(w.averageLimit, "limit", t.ewma.ucl),
    ],
    levels: [...toleranceOf(limits, scale, w.tolerance), ...(t.centre === undefined ? [] : [{ y: scale.convert(t.centre), label: w.centre, look: "centre" as const }])],
  };
}

function movingRange({ data: { statistics: t, order, values }, words, scale }: Rows): Drawn | null {
  if (!t.movingRange) return null;
  const w = words.runs.charts;
  const ranges = values.map((v, i) => (v === null || i === 0 || values[i - 1] === null ? null : scale.convert(Math.abs(v - (values[i - 1] as number)))));
  return { lines: [{ label: w.kinds.movingRange, look: "points", ...brokenLine(order, ranges) }], levels: [{ y: scale.convert(t.movingRange.ucl), label: w.control, look: "control" }, { y: scale.convert(t.movingRange.centre), label: w.centre, look: "centre" }] };
}

function cusum({ data: { statistics: t, order }, words, scale }: Rows): Drawn | null {
  if (!t.cusum) return null;
  const w = words.runs.charts;
  const yLabel = `CUSUM (${scale.unit})`;
  const curve = (y: readonly (number | null)[], sign: 1 | -1) => brokenLine(order, y.map((v) => (v === null ? null : sign * scale.convert(v))));
  const h = scale.convert(t.cusum.h);
  return {
    yLabel,
    lines: [{ label: w.high, look: "thick", ...curve(t.cusum.high, 1) }, { label: w.low, look: "second", ...curve(t.cusum.low, -1) }],
    levels: [{ y: h, label: w.decision, look: "control" }, { y: -h, label: w.decision, look: "control" }],
  };
}

function t2({ data, words, figures }: Rows): Drawn | null {
  const { statistics: t, order } = data;
  if (!t.t2) return null;
  const w = words.runs.charts;
  const { values, ucl, uclInside } = t.t2;
  return {
    lines: [{ label: w.t2, look: "points", ...brokenLine(order, values) }],
    levels: [{ y: ucl, label: w.control, look: "control" }, ...(uclInside === undefined || uclInside === ucl ? [] : [{ y: uclInside, label: `${w.control}, ${w.baseline.toLowerCase()} ${t.baseline.from}–${t.baseline.to}`, look: "centre" as const }])],
    tell: (row) => `${placeName(data, row, words)} · T² ${values[row] == null ? "–" : figures.number(values[row] as number, 2)} · ${words.verdict[data.verdicts[row]].word}`,
  };
}

function toleranceOf(limits: Charts["limits"], scale: Scale, label: string): PlotLevel[] {
  return [limits.lower, limits.upper].flatMap((y) => (y === undefined ? [] : [{ y: scale.convert(y), label, look: "tolerance" as const }]));
}

function control(scale: Scale, w: Words["runs"]["charts"], lcl: number, ucl: number, centre: number | undefined): PlotLevel[] {
  return [
    { y: scale.convert(lcl), label: w.control, look: "control" }, { y: scale.convert(ucl), label: w.control, look: "control" },
    ...(centre === undefined ? [] : [{ y: scale.convert(centre), label: w.centre, look: "centre" as const }]),
  ];
}

/** The value against the metres that each blade had cut. `data` names the rows. */
export function wearPlot(wear: Wear, data: Charts, toolNames: ReadonlyMap<number, string>, words: Words, figures: Figures): PlotData | null {
  if (wear.length === 0) return null;
  const scale = scaleOf(data.value, words, figures);
  const w = words.runs.charts;
  const rowOf = new Map(data.checkIds.map((id, i) => [id, i]));
  const tools = [...new Set(wear.map((p) => p.toolId))];
  const lines = tools.map((tool, i): PlotLine => {
    const points = wear.filter((p) => p.toolId === tool).sort((a, b) => a.metres - b.metres);
    return { label: w.blade(toolNames.get(tool) ?? String(tool)), look: i % 2 === 0 ? "points" : "second", x: points.map((p) => p.metres), y: points.map((p) => scale.convert(p.value)), rows: points.map((p) => rowOf.get(p.checkId) ?? -1), gap: Infinity };
  });
  const metres = new Map(wear.map((p) => [rowOf.get(p.checkId) ?? -1, p.metres]));
  const plain = about("individuals", { data, words, figures, scale });
  return {
    ...plain, lines, levels: toleranceOf(data.limits, scale, w.tolerance), verticals: [], xLabel: `${w.metres} (m)`, label: w.label(w.kinds.wear, scale.name),
    tell: (row) => `${plain.tell(row)} · ${figures.number(metres.get(row) ?? NaN, 0)} m`,
  };
}
