import type { JudgedValue } from "../library/judgedValues.ts";
import type { Library } from "../library/library.ts";

/** A checked sheet against what its tool had cut by then. */
export interface WearPoint {
  readonly checkId: number;
  readonly sheet: number;
  readonly toolId: number;
  /** Metres that the tool had cut before this sheet, all runs together. */
  readonly metres: number;
  readonly value: number;
}

/**
 * A judged value of a run's numbered sheets against the metres that the blade in use (the creasing tool, for "crease") had cut. Sheets cut by a tool that
 * was not entered are left out. @throws LibraryFault "not-found"
 */
export async function wearOfRun(library: Library, runId: number, value: JudgedValue): Promise<WearPoint[]> {
  const wanted = value === "crease" ? "crease" : "blade";
  const kinds = new Map((await library.tools.known()).map((t) => [t.id, t.kind]));
  const uses = (await library.tools.usesIn(runId)).filter((u) => kinds.get(u.toolId) === wanted);
  const before = new Map<number, number>();
  for (const { toolId } of uses) if (!before.has(toolId)) before.set(toolId, await library.tools.metresBeforeRun(toolId, runId));
  const starts = uses.map((use) => {
    const start = before.get(use.toolId) ?? 0;
    before.set(use.toolId, start + use.metres);
    return { ...use, start, perSheet: use.metres / (use.to - use.from + 1) };
  });
  const { checkId, sheetNumber, values } = await library.checks.series(runId, { values: [value] });
  return checkId.flatMap((id, i) => {
    const [sheet, y] = [sheetNumber[i], values[value]?.[i] ?? null];
    const use = sheet === null ? undefined : starts.find((u) => u.from <= sheet && sheet <= u.to);
    return sheet === null || y === null || !use ? [] : [{ checkId: id, sheet, toolId: use.toolId, metres: use.start + (sheet - use.from) * use.perSheet, value: y }];
  });
}
