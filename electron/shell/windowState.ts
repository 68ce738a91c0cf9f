import { mkdirSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import path from "node:path";
import { z } from "zod";

const stateSchema = z.object({ x: z.int(), y: z.int(), width: z.int().min(480).max(20_000), height: z.int().min(360).max(20_000), maximized: z.boolean() });

export type WindowState = z.infer<typeof stateSchema>;
export type Area = Pick<WindowState, "x" | "y" | "width" | "height">;

/** The state as saved; undefined at the first start or where the file says nothing useful. */
export function readWindowState(file: string): WindowState | undefined {
  try {
    return stateSchema.safeParse(JSON.parse(readFileSync(file, "utf8"))).data;
  } catch (error) {
    if (error instanceof SyntaxError || (error instanceof Error && "code" in error && error.code === "ENOENT")) return undefined;
    throw error;
  }
}

/** Writes beside and renames, so that a kill leaves the old state. */
export function writeWindowState(file: string, state: WindowState): void {
  mkdirSync(path.dirname(file), { recursive: true });
  writeFileSync(`${file}.new`, JSON.stringify(state));
  renameSync(`${file}.new`, file);
}

/** The state if its title bar can be reached on one of the screens there are now; a screen may have been unplugged. */
export function onScreen(state: WindowState | undefined, screens: readonly Area[]): WindowState | undefined {
  if (!state) return undefined;
  const isReachable = (at: Area): boolean =>
    state.x + state.width > at.x + 80 && state.x < at.x + at.width - 80 && state.y >= at.y && state.y < at.y + at.height - 40;
  return screens.some(isReachable) ? state : undefined;
}
