import type { Measured } from "../../../core/check/record.ts";
import type { Job } from "../../../core/job/schema.ts";
import { setAside, type SetAside } from "../../../core/setaside/ranges.ts";
import { trend, type Trend } from "../../../core/trend/trend.ts";
import type { Disposition } from "../library/dispositions.ts";
import { localTime } from "../localTime.ts";
import type { Block, Chart } from "./content.ts";
import { converted, digitsOf, figure, plain, unitName, type Manner, type Unit } from "./figures.ts";
import { profilesOf, tolerancesOf } from "./sheetReport.ts";
import { REPORT_WORDS } from "./words.ts";

export interface RunFacts {
  readonly name: string;
  readonly job: Job;
  readonly jobVersion?: number;
  readonly sheets: number | null;
  /** UTC. */
  readonly startedAt?: string;
  /** In the order of the run; only measured sheets are kept in a run. */
  readonly records: readonly Measured[];
  /** Of these, the checks made before a sheet was cut again: what the process did. Charts and set-aside rest on them. */
  readonly firstCut: readonly Measured[];
  readonly decisions: readonly Disposition[];
  readonly profile?: string;
}

const CHARTED = [
  { key: "offsetX", unit: "mm", of: (r: Measured) => r.offset.x, limit: "offset" },
  { key: "offsetY", unit: "mm", of: (r: Measured) => r.offset.y, limit: "offset" },
  { key: "rotation", unit: "mm/m", of: (r: Measured) => r.rotation.value, limit: "rotation" },
  { key: "worst", unit: "mm", of: (r: Measured) => r.worst.value, limit: "position" },
] as const;

/** Statistics of the run's charted values, as the trend screens and `kerfmark trend` have them. */
export function trendsOf({ firstCut: records, job }: RunFacts): { readonly key: (typeof CHARTED)[number]["key"]; readonly unit: Unit; readonly trend: Trend }[] {
  if (records.length === 0) return [];
  return CHARTED.map(({ key, unit, of, limit }) => {
    const size = job.tolerance[limit];
    return { key, unit, trend: trend({ column: key, values: records.map(of), limits: size === undefined ? {} : { lower: -size, upper: size } }) };
  });
}

/** What to set aside, where the stack's size is known; the latest check of a sheet counts. */
export function setAsideOf({ firstCut: records, sheets }: RunFacts): SetAside | null {
  if (sheets === null) return null;
  const numbered = records.flatMap((r) => (/^\d+$/.test(r.sheet ?? "") && Number(r.sheet) >= 1 && Number(r.sheet) <= sheets ? [[Number(r.sheet), r.verdict] as const] : []));
  return setAside(new Map(numbered), sheets);
}

/** What a run's report says, in the order of its pages. */
export function runBlocks(facts: RunFacts, manner: Manner): Block[] {
  const w = REPORT_WORDS[manner.language];
  const { records, job } = facts;
  const counts = (["in", "out", "unsure"] as const).map((v) => `${records.filter((r) => r.verdict === v).length} ${w.counts[v]}`);
  return [
    { kind: "facts", rows: [
      [w.job, `${job.id}  ${job.name}`], [w.version, facts.jobVersion === undefined ? w.notKnown : String(facts.jobVersion)], [w.run, facts.name],
      [w.taken, facts.startedAt === undefined ? w.notKnown : toTheMinute(facts.startedAt)], [w.sheets, facts.sheets === null ? w.notKnown : String(facts.sheets)],
      [w.checked, `${records.length}: ${counts.join(", ")}`], [w.profile, facts.profile ?? profilesOf(records, w)], [w.tolerances, tolerancesOf(job, manner)],
    ] },
    ...asideBlocks(facts, manner),
    ...decisionBlocks(facts, manner),
    ...chartBlocks(facts, manner),
    { kind: "heading", text: w.uncertainty },
    { kind: "text", text: w.uncertaintyText },
    { kind: "signatures", roles: w.signatures },
    { kind: "heading", text: w.allTheSheets },
    checksTable(facts, manner),
  ];
}

function asideBlocks(facts: RunFacts, manner: Manner): Block[] {
  const w = REPORT_WORDS[manner.language];
  const found = setAsideOf(facts);
  const head: Block = { kind: "heading", text: w.setAside };
  if (!found) return [head, { kind: "text", text: w.noStack }];
  const byEye = facts.decisions.filter((d) => d.decision === "aside" && /^\d+$/.test(d.sheet)).map((d) => Number(d.sheet)).filter((n) => !found.bad.includes(n));
  if (found.bad.length + found.suspect.length + byEye.length === 0) return [head, { kind: "text", text: w.nothingAside }];
  const range = (a: number, b: number) => (a === b ? String(a) : `${a} - ${b}`);
  const one = (state: string) => (n: number) => [state, String(n), String((facts.sheets ?? n) + 1 - n), decidedIn(facts, n, n, manner)];
  const rows = [
    ...found.bad.map(one(w.bad)), ...byEye.map(one(w.byEye)),
    ...found.suspect.map((s) => [w.suspect, range(s.from, s.to), range(s.fromTop[0], s.fromTop[1]), decidedIn(facts, s.from, s.to, manner)]),
  ];
  const columns = [{ title: "", share: 2 }, { title: w.sheet, share: 2, numeric: true }, { title: w.fromTop, share: 2, numeric: true }, { title: w.decision, share: 4 }];
  return [head, { kind: "table", columns, rows }, ...(found.next === null ? [] : [{ kind: "text" as const, text: `${w.next}: ${w.sheet} ${found.next}` }])];
}

/** What was decided about these sheets, and how many of them are still open. */
function decidedIn({ decisions }: RunFacts, from: number, to: number, manner: Manner): string {
  const w = REPORT_WORDS[manner.language];
  const made = decisions.filter((d) => Number(d.sheet) >= from && Number(d.sheet) <= to);
  const open = to - from + 1 - made.length;
  if (from === to) return made[0] ? w.disposition[made[0].decision] : w.open;
  const kinds = [...new Set(made.map((d) => d.decision))].map((kind) => `${made.filter((d) => d.decision === kind).length} ${w.disposition[kind]}`);
  return [...kinds, ...(open > 0 ? [`${open} ${w.open}`] : [])].join(", ");
}

function decisionBlocks({ decisions }: RunFacts, manner: Manner): Block[] {
  const w = REPORT_WORDS[manner.language];
  if (decisions.length === 0) return [];
  const columns = [{ title: w.sheet, share: 1 }, { title: w.decision, share: 2 }, { title: w.who, share: 2 }, { title: w.why, share: 4 }, { title: w.when, share: 2 }];
  return [{ kind: "heading", text: w.decisions }, { kind: "table", columns, rows: decisions.map((d) => [d.sheet, w.disposition[d.decision], d.who, d.why, toTheMinute(d.madeAt)]) }];
}

/** A recorded moment (UTC) as the shop's clock had it. */
function toTheMinute(moment: string): string {
  return localTime(new Date(moment)).slice(0, 16).replace("T", " ");
}

function chartBlocks(facts: RunFacts, manner: Manner): Block[] {
  const w = REPORT_WORDS[manner.language];
  const trends = trendsOf(facts);
  if (trends.length === 0) return [];
  const charts = trends.map(({ key, unit, trend: t }): Block => {
    const shown = (v: number) => converted(v, unit, manner);
    const limits = t.individuals ? [{ label: w.upper, at: shown(t.individuals.ucl), dashed: true }, { label: w.lower, at: shown(t.individuals.lcl), dashed: true }] : [];
    const centre = t.centre === undefined ? [] : [{ label: w.centre, at: shown(t.centre), dashed: false }];
    const own = CHARTED.find((c) => c.key === key)?.of as (r: Measured) => number;
    const marked = new Set(t.signals.filter((s) => s.chart === "individuals").map((s) => s.at - 1));
    const chart: Chart = { title: `${w[key]}, ${unitName(unit, manner)}`, digits: digitsOf(unit, manner), values: facts.firstCut.map((r) => shown(own(r))), marked, lines: [...limits, ...centre] };
    return { kind: "chart", chart };
  });
  const index = (value: number | undefined) => (value === undefined ? "" : plain(value, 2, manner));
  const rows = trends.flatMap(({ key, trend: { capability: c } }) => (c ? [[w[key], index(c.cp), index(c.cpk), index(c.pp), index(c.ppk), index(c.ppkLow), index(c.ppkHigh)]] : []));
  const columns = [{ title: w.quantity, share: 3 }, ...["Cp", "Cpk", "Pp", "Ppk", "Ppk 2.5 %", "Ppk 97.5 %"].map((title) => ({ title, share: 1.6, numeric: true }))];
  return [{ kind: "heading", text: w.charts }, ...charts, ...(rows.length > 0 ? [{ kind: "heading" as const, text: w.capability }, { kind: "table" as const, columns, rows }] : [])];
}

function checksTable({ records }: RunFacts, manner: Manner): Block {
  const w = REPORT_WORDS[manner.language];
  const f = (value: number, unit: Unit, plus = false) => figure(value, unit, manner, { plus });
  const unit = unitName("mm", manner);
  const columns = [
    { title: w.sheet, share: 1.1 }, { title: w.verdict, share: 1.6 }, ...[`${w.worst}, ${unit}`, "U", `${w.offsetX}, ${unit}`, `${w.offsetY}, ${unit}`, "U", `${w.rotation}, mm/m`, "U"].map((title) => ({ title, share: title === "U" ? 1.1 : 1.9, numeric: true })),
  ];
  return { kind: "table", columns, rows: records.map((r) => [
    r.sheet ?? "", w.verdicts[r.verdict], f(r.worst.value, "mm", true), f(r.worst.U, "mm"), f(r.offset.x, "mm", true), f(r.offset.y, "mm", true), f(r.offset.U, "mm"),
    f(r.rotation.value, "mm/m", true), f(r.rotation.U, "mm/m"),
  ]) };
}
