import type { CheckRecord, JudgedQuantity, Measured, WitnessReport } from "../../../core/check/record.ts";
import type { Job } from "../../../core/job/schema.ts";
import { unitOf } from "../../../core/judge/unitOf.ts";
import type { Block } from "./content.ts";
import { figure, limitFigure, place, plain, unitName, withU, type Manner, type Unit } from "./figures.ts";
import { nameIn, refusalIn, REPORT_WORDS, sentenceIn, type ReportWords } from "./words.ts";

export interface SheetFacts {
  readonly record: CheckRecord;
  readonly job: Job;
  readonly jobVersion?: number;
  readonly profile?: string;
  /** Local capture time. */
  readonly takenAt?: string;
  readonly picture?: { readonly jpeg: Uint8Array; readonly width: number; readonly height: number; readonly enlarged: number };
}

const TONE = { in: "good", out: "bad", unsure: "open" } as const;

/** What one sheet's report says, in the order of its pages. Every figure is the record's own, rounded once. */
export function sheetBlocks(facts: SheetFacts, manner: Manner): Block[] {
  const { record, job } = facts;
  const w = REPORT_WORDS[manner.language];
  const head: Block[] = [{ kind: "facts", rows: [
    [w.job, `${job.id}  ${job.name}`],
    [w.version, facts.jobVersion === undefined ? w.notKnown : String(facts.jobVersion)],
    [w.sheet, record.sheet ?? w.notKnown],
    [w.picture, record.image],
    [w.taken, facts.takenAt?.replace("T", " ") ?? w.notKnown],
    [w.profile, profileOf(facts, w)],
    [w.tolerances, tolerancesOf(job, manner)],
  ] }];
  if (record.status === "refused") {
    return [...head, { kind: "verdict", text: w.refusal, tone: "open" }, { kind: "text", text: refusalIn(manner.language, record.refusal).message }, { kind: "text", text: `${w.todo}: ${refusalIn(manner.language, record.refusal).hint}` }, ...notes(record, w, manner)];
  }
  return [
    ...head,
    { kind: "verdict", text: w.verdicts[record.verdict], tone: TONE[record.verdict] },
    { kind: "text", text: worstOf(record, w, manner) },
    ...(facts.picture ? [{ kind: "picture" as const, ...facts.picture, caption: w.enlarged(facts.picture.enlarged) }] : []),
    { kind: "heading", text: w.values },
    valuesTable(record, w, manner),
    { kind: "heading", text: w.correction },
    { kind: "text", text: correctionOf(record, manner) },
    { kind: "heading", text: w.features },
    featureTable(record, w, manner),
    ...(record.witnesses ? [{ kind: "heading" as const, text: w.witnesses }, witnessTable(record.witnesses, w, manner)] : []),
    ...notes(record, w, manner),
    { kind: "heading", text: w.uncertainty },
    { kind: "text", text: w.uncertaintyText },
    { kind: "signatures", roles: w.signatures },
  ];
}

function profileOf({ profile, record }: SheetFacts, w: ReportWords): string {
  return profile ?? (record.status === "measured" ? profilesOf([record], w) : w.noProfile);
}

/** The profiles that checks rest on, by name. */
export function profilesOf(records: readonly Measured[], w: ReportWords): string {
  const names = records.flatMap(({ view: { lens } }) => (lens.source === "profile" ? [lens.profile ?? w.notKnown] : []));
  return names.length === 0 ? w.noProfile : [...new Set(names)].join("; ");
}

/** The job's limits in one line. */
export function tolerancesOf(job: Job, manner: Manner): string {
  const w = REPORT_WORDS[manner.language];
  return (Object.entries(job.tolerance) as [JudgedQuantity, number | undefined][])
    .flatMap(([what, limit]) => (limit === undefined ? [] : [`${w[what]} ${limitFigure(limit, unitOf(what), manner)} ${unitName(unitOf(what), manner)}`])).join(", ");
}

function worstOf({ worst }: Measured, w: ReportWords, manner: Manner): string {
  const unit = unitName("mm", manner);
  const where = `x ${place(worst.x, manner)} ${unit}, y ${place(worst.y, manner)} ${unit}`;
  return `${w.worst}: ${withU(worst.value, worst.U, "mm", manner)}, ${w.at} ${where} (${nameIn(manner.language, worst.feature)})`;
}

function valuesTable(record: Measured, w: ReportWords, manner: Manner): Block {
  const { offset, rotation, skew, scale } = record;
  const values: [string, number, number, Unit, JudgedQuantity?][] = [
    [w.worst, record.worst.value, record.worst.U, "mm", "position"],
    [w.offsetX, offset.x, offset.U, "mm"],
    [w.offsetY, offset.y, offset.U, "mm"],
    [w.offset, offset.length, offset.U, "mm", "offset"],
    [w.rotation, rotation.value, rotation.U, "mm/m", "rotation"],
    [w.skew, skew.value, skew.U, "mm/m", "skew"],
    [w.scaleX, scale.x, scale.U, "mm/m", "scale"],
    [w.scaleY, scale.y, scale.U, "mm/m", "scale"],
  ];
  const rows = values.map(([name, value, U, unit, what]) => {
    const judged = record.judged.find((j) => j.what === what);
    return [
      // The offset as a whole is a length: it has no sign.
      name, figure(value, unit, manner, { plus: what !== "offset" }), figure(U, unit, manner), judged ? limitFigure(judged.limit, unit, manner) : "", unitName(unit, manner),
      judged ? w.verdicts[judged.verdict] : "", judged ? chanceOf(judged.conformity, manner) : "",
    ];
  });
  return { kind: "table", rows, columns: [
    { title: w.quantity, share: 3 }, { title: w.value, share: 2, numeric: true }, { title: w.U, share: 2, numeric: true }, { title: w.limit, share: 1.5, numeric: true },
    { title: w.unit, share: 1.3 }, { title: w.verdict, share: 2 }, { title: w.chance, share: 2.2, numeric: true },
  ] };
}

/** Never 0 or 100 %: no measurement is that sure. */
function chanceOf(conformity: number, manner: Manner): string {
  if (conformity > 0.9999) return `> ${plain(99.99, 2, manner)} %`;
  return conformity < 0.0001 ? `< ${plain(0.01, 2, manner)} %` : `${plain(100 * conformity, 2, manner)} %`;
}

function featureTable(record: Measured, w: ReportWords, manner: Manner): Block {
  const mm = (value: number, plus = false) => figure(value, "mm", manner, { plus });
  const unit = unitName("mm", manner);
  return { kind: "table", columns: [
    { title: w.feature, share: 3 }, { title: w.kind, share: 1.5 }, { title: `${w.mean}, ${unit}`, share: 2, numeric: true }, { title: `${w.largest}, ${unit}`, share: 2, numeric: true },
    { title: `${w.rms}, ${unit}`, share: 2, numeric: true }, { title: `${w.U}, ${unit}`, share: 2, numeric: true }, { title: w.found, share: 1.6, numeric: true },
  ], rows: record.features.map((f) => {
    const figures = f.coverage > 0 ? [mm(f.mean, true), mm(f.max, true), mm(f.rms), mm(f.U), `${Math.round(100 * f.coverage)} %`] : ["–", "–", "–", "–", w.notFound];
    return [nameIn(manner.language, f.id), w[f.kind], ...figures];
  }) };
}

function witnessTable(witnesses: readonly WitnessReport[], w: ReportWords, manner: Manner): Block {
  const mm = (value: number | undefined, plus = true) => (value === undefined ? "" : figure(value, "mm", manner, { plus }));
  const unit = unitName("mm", manner);
  return { kind: "table", columns: [
    { title: w.witness, share: 3 }, { title: `${w.at} x, ${unit}`, share: 1.5, numeric: true }, { title: `${w.at} y, ${unit}`, share: 1.5, numeric: true }, { title: `${w.offsetX}, ${unit}`, share: 2, numeric: true },
    { title: `${w.offsetY}, ${unit}`, share: 2, numeric: true }, { title: `${w.U}, ${unit}`, share: 2, numeric: true },
  ], rows: witnesses.map(({ ring, x, y, offset }) => [offset ? ring : `${ring} (${w.notRead})`, place(x, manner), place(y, manner), mm(offset?.x), mm(offset?.y), mm(offset?.U, false)]) };
}

function correctionOf({ correction: c }: Measured, manner: Manner): string {
  const f = (value: number, unit: Unit) => `${figure(value, unit, manner, { plus: true })} ${unitName(unit, manner)}`;
  return `x ${f(c.x, "mm")}, y ${f(c.y, "mm")}, ${REPORT_WORDS[manner.language].rotation} ${f(c.rotation, "mm/m")}, ${REPORT_WORDS[manner.language].scaleX} ${f(c.scaleX, "mm/m")}, ${REPORT_WORDS[manner.language].scaleY} ${f(c.scaleY, "mm/m")}`;
}

function notes(record: CheckRecord, w: ReportWords, { language }: Manner): Block[] {
  return record.warnings.length === 0 ? [] : [{ kind: "heading", text: w.warnings }, ...record.warnings.map((text) => ({ kind: "text" as const, text: sentenceIn(language, text) }))];
}

