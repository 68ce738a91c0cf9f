import { styleText } from "node:util";
import type { CheckRecord, Judged, JudgedQuantity, Measured, Verdict, WitnessReport } from "../../../core/check/record.ts";
import type { Job } from "../../../core/job/schema.ts";
import { unitOf } from "../../../core/judge/unitOf.ts";

/** Verdicts by word and shape, so that neither colour nor font decides. */
const SHAPE = { in: "[+] IN", out: "[X] OUT", unsure: "[?] UNSURE" } as const;
const COLOUR = { in: "green", out: "red", unsure: "yellow" } as const;

/** What one record says, for somebody beside a running table: verdict first, then the worst place, then the figures. */
export function describeRecord(record: CheckRecord, job: Job): string {
  const sheet = record.sheet === undefined ? "" : `  sheet ${record.sheet}`;
  if (record.status === "refused") {
    const { code, message, hint } = record.refusal;
    const head = `${styleText("magenta", "[-] NOT MEASURED")}  ${record.image}${sheet}  (${code})`;
    return block(head, [["why", message], ["do", hint], ...warningRows(record)]);
  }
  const head = `${styleText(COLOUR[record.verdict], SHAPE[record.verdict])}  ${record.image}${sheet}`;
  return block(head, [
    ["worst", worstOf(record, job)],
    ["offset", offsetOf(record) + limitOf(record, "offset")],
    ["rotation", rotationOf(record) + limitOf(record, "rotation")],
    ["skew", `${signed(record.skew.value, 2)} \u00b1 ${record.skew.U.toFixed(2)} mm/m${limitOf(record, "skew")}`],
    ["scale", `${signed(record.scale.x, 2)} across, ${signed(record.scale.y, 2)} up, \u00b1 ${record.scale.U.toFixed(2)} mm/m${limitOf(record, "scale")}`],
    ["correct by", correctionOf(record)],
    ...(record.verdict === "in" ? [] : [["because", record.judged.filter((j) => j.verdict !== "in").map(reasonOf).join("; ")] as const]),
    ...(record.witnesses ?? []).map((w): Row => ["witness", witnessOf(w)]),
    ...warningRows(record),
  ]);
}

/** The last line of a table: how many of each. */
export function describeCounts(records: readonly CheckRecord[]): string {
  const count = (want: (r: CheckRecord) => boolean) => records.filter(want).length;
  const verdicts = (["in", "out", "unsure"] as Verdict[]).map((v) => `${count((r) => r.verdict === v)} ${v}`);
  const refused = count((r) => r.status === "refused");
  return `${records.length} ${records.length === 1 ? "picture" : "pictures"}: ${[...verdicts, `${refused} not measured`].join(", ")}.`;
}

type Row = readonly [string, string];

function block(head: string, rows: readonly Row[]): string {
  return [head, ...rows.map(([name, value]) => `    ${name.padEnd(11)} ${value}`)].join("\n") + "\n";
}

function warningRows(record: CheckRecord): Row[] {
  return record.warnings.map((w) => ["note", w] as const);
}

function worstOf({ worst }: Measured, job: Job): string {
  const limit = job.tolerance.position;
  return `${signed(worst.value, 3)} \u00b1 ${worst.U.toFixed(3)} mm (allowed ${limit}) ${placeOf(worst.x, worst.y, job)}, on "${worst.feature}"`;
}

/** A place on the sheet in words: nine fields, the corners and edges being the outer quarters. Facing the printed side. */
export function placeOf(x: number, y: number, { sheet }: Pick<Job, "sheet">): string {
  const across = x < sheet.width / 4 ? "left" : x > (3 * sheet.width) / 4 ? "right" : "";
  const up = y < sheet.height / 4 ? "lower" : y > (3 * sheet.height) / 4 ? "upper" : "";
  if (up && across) return `near the ${up} ${across} corner of the sheet`;
  if (up || across) return `near the ${up || across} edge of the sheet`;
  return "near the middle of the sheet";
}

function witnessOf({ ring, x, y, offset, common, reason }: WitnessReport): string {
  const at = `"${ring}" at x ${x.toFixed(0)}, y ${y.toFixed(0)} mm`;
  if (!offset) return `${at} was not read. ${reason ?? ""}`;
  return `${at}: cut ${signed(offset.x, 3)} right, ${signed(offset.y, 3)} up of the print, \u00b1 ${offset.U.toFixed(3)} mm (all cuts together say ${signed(common.x, 3)}, ${signed(common.y, 3)} there)`;
}

function offsetOf({ offset }: Measured): string {
  const across = direction(offset.x, "right", "left");
  const up = direction(offset.y, "up", "down");
  return `cut lies ${across} and ${up} of the print (${offset.length.toFixed(3)} \u00b1 ${offset.U.toFixed(3)} mm in all)`;
}

function direction(value: number, plus: string, minus: string): string {
  return `${Math.abs(value).toFixed(3)} mm ${value < 0 ? minus : plus}`;
}

function rotationOf({ rotation }: Measured): string {
  const degrees = ((rotation.value / 1000) * 180) / Math.PI;
  return `${signed(rotation.value, 2)} \u00b1 ${rotation.U.toFixed(2)} mm/m (${signed(degrees, 3)}\u00b0, + is counter-clockwise)`;
}

function correctionOf({ correction: c }: Measured): string {
  return `x ${signed(c.x, 3)} mm, y ${signed(c.y, 3)} mm, rotation ${signed(c.rotation, 2)}, scale x ${signed(c.scaleX, 2)}, y ${signed(c.scaleY, 2)} mm/m`
    + " (added to the cutter's settings, seen from the blade's side)";
}

function limitOf(record: Measured, what: JudgedQuantity): string {
  const judged = record.judged.find((j) => j.what === what);
  return judged ? `, allowed ${judged.limit}` : "";
}

function reasonOf({ what, value, U, limit, verdict, conformity }: Judged): string {
  const state = verdict === "out" ? "is beyond" : "is too close to tell from";
  const chance = conformity < 0.001 ? "under 0.1" : conformity > 0.999 ? "over 99.9" : (100 * conformity).toFixed(1);
  return `${what} ${value.toFixed(3)} \u00b1 ${U.toFixed(3)} ${unitOf(what)} ${state} the limit ${limit} (${chance} % sure to be within)`;
}

/** A figure with its sign always shown; what rounds to zero has none. */
function signed(value: number, digits: number): string {
  const text = Math.abs(value).toFixed(digits);
  return Number(text) === 0 ? text : (value < 0 ? "-" : "+") + text;
}
