import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import { readdirSync, readFileSync } from "node:fs";

export interface StartedProgram {
  /** What it printed to open it by. */
  readonly address: string;
  /** Until the address was printed: by the clock, and what all its processes worked, ms. */
  readonly ms: number;
  readonly worked: number;
  readonly pid: number;
  stop(): Promise<void>;
}

/** Starts the program by a command of its own, as a shop does. */
export async function startProgram(command: readonly string[], cwd: string, library: string): Promise<StartedProgram> {
  const began = performance.now();
  const program: ChildProcess = spawn(command[0], command.slice(1), { cwd, stdio: ["ignore", "pipe", "ignore"], detached: true, env: { ...process.env, KERFMARK_LIBRARY: library } });
  let said = "";
  for await (const chunk of program.stdout ?? []) if (/http:\S+/.test((said += String(chunk)))) break;
  const address = /http:\S+/.exec(said)?.[0];
  if (!address || program.pid === undefined) throw new Error(`The program gave no address: ${said}`);
  const group = program.pid;
  return {
    address, ms: performance.now() - began, worked: workedOf(withChildren(group)), pid: group,
    stop: async () => {
      const ended = once(program, "exit");
      process.kill(-group, "SIGTERM"); // npm's children too: they are one group.
      await ended;
    },
  };
}

/** Processor time of processes so far, all threads, ms. Linux: proc(5), /proc/PID/stat fields 14 and 15, in hundredths of a second. */
export function workedOf(pids: readonly number[]): number {
  return 10 * pids.reduce((sum, pid) => {
    const fields = statOf(pid);
    return fields ? sum + Number(fields[11]) + Number(fields[12]) : sum;
  }, 0);
}

/** A process and all below it. */
export function withChildren(root: number): number[] {
  const all = readdirSync("/proc").filter((name) => /^\d+$/.test(name)).map(Number);
  const parents = new Map(all.flatMap((pid) => {
    const fields = statOf(pid);
    return fields ? [[pid, Number(fields[1])] as const] : [];
  }));
  const below = (pid: number): number[] => [pid, ...[...parents].filter(([, parent]) => parent === pid).flatMap(([child]) => below(child))];
  return below(root);
}

/** Fields of /proc/PID/stat from the third on; undefined where the process has ended. */
function statOf(pid: number): string[] | undefined {
  try {
    const text = readFileSync(`/proc/${pid}/stat`, "utf8");
    return text.slice(text.lastIndexOf(")") + 2).split(" ");
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "ENOENT" || (error as NodeJS.ErrnoException).code === "ESRCH") return undefined;
    throw error;
  }
}
