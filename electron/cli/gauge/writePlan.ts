import { writeFile } from "node:fs/promises";
import Papa from "papaparse";
import { orderOf } from "../../../core/gauge/plan.ts";
import { OutputFault, UsageFault } from "../exit.ts";
import { wholeNumber } from "../numbers.ts";

interface PlanOptions {
  readonly plan: string;
  readonly sheets?: string;
  readonly operators?: string;
  readonly repeats: string;
}

/** Columns of a plan; `image` and `reference` are for people to fill in. */
const COLUMNS = ["part", "operator", "repeat", "image", "reference"] as const;

/** Writes the plan of a gauge study as CSV, in the order of taking; never over a file that is there, since it may hold a study in hand. */
export async function writePlan({ plan, sheets, operators, repeats }: PlanOptions): Promise<void> {
  const study = { sheets: namesIn(sheets, "--sheets"), operators: namesIn(operators, "--operators"), repeats: wholeNumber(repeats, "--repeats", 2, 20) };
  const order = orderOf(study);
  const rows = order.map((slot) => [study.sheets[slot.sheet], study.operators[slot.operator], String(slot.repeat + 1), "", ""]);
  await writeFile(plan, `${Papa.unparse({ fields: [...COLUMNS], data: rows }, { newline: "\n" })}\n`, { flag: "wx" }).catch((error: NodeJS.ErrnoException) => {
    if (error.code === "EEXIST") throw new OutputFault(`${plan} is there already and may hold a study.`, "Name another file.");
    throw new OutputFault(`${plan} cannot be written: ${error.message}.`, "Name a file in a folder that exists.");
  });
  process.stdout.write(`Wrote ${plan}: ${order.length} pictures to take, from the top down. Lay the sheet anew for each, and write the picture's name into the column image.\n`);
}

function namesIn(text: string | undefined, option: string): string[] {
  const names = [...new Set((text ?? "").split(",").map((t) => t.trim()).filter(Boolean))];
  if (names.length < 2) throw new UsageFault(`A study needs two or more after ${option}.`, `Give ${option} and the names, divided by commas.`);
  return names;
}
