import { spawnSync } from "node:child_process";

/** Milliseconds: medians by the clock and in processor time (all threads), and the least and most by the clock. */
export interface Times {
  readonly wall: number;
  readonly cpu: number;
  readonly least: number;
  readonly most: number;
}

/** Times several works by turns, so that what disturbs one disturbs all. */
export async function timed(rounds: number, ...works: readonly (() => Promise<unknown>)[]): Promise<Times[]> {
  const taken: Taken[][] = works.map(() => []);
  for (let i = 0; i < rounds; i++) {
    for (const [k, work] of works.entries()) {
      const [start, before] = [performance.now(), process.cpuUsage()];
      await work();
      const { user, system } = process.cpuUsage(before);
      taken[k].push({ wall: performance.now() - start, cpu: (user + system) / 1000 });
    }
  }
  return taken.map(summary);
}

export interface Taken {
  readonly wall: number;
  readonly cpu: number;
}

export function summary(taken: readonly Taken[]): Times {
  const sorted = (f: (t: Taken) => number): number[] => taken.map(f).sort((a, b) => a - b);
  const [wall, cpu] = [sorted((t) => t.wall), sorted((t) => t.cpu)];
  return { wall: wall[wall.length >> 1], cpu: cpu[cpu.length >> 1], least: wall[0], most: wall[wall.length - 1] };
}

export const shown = (t: Times): string => `${t.wall.toFixed(0)} ms by the clock (${t.least.toFixed(0)} to ${t.most.toFixed(0)}), ${t.cpu.toFixed(0)} ms of processor time`;

/** Runs a script of ours in a process of its own; it must end with status 0 or 1. */
export function inChild(script: string, args: readonly string[]): Taken & { readonly peakMb: number } {
  const start = performance.now();
  const { status, stderr } = spawnSync(process.execPath, ["--import", REPORT, script, ...args], { encoding: "utf8" });
  const wall = performance.now() - start;
  const usage = /USED (\d+) (\d+)/.exec(stderr);
  if ((status !== 0 && status !== 1) || !usage) throw new Error(stderr);
  return { wall, cpu: Number(usage[1]) / 1000, peakMb: Number(usage[2]) / 1024 };
}

/** At its end the child tells what it used. */
const REPORT = `data:text/javascript,${encodeURIComponent("process.on('exit', () => { const u = process.resourceUsage(); process.stderr.write(`USED ${u.userCPUTime + u.systemCPUTime} ${u.maxRSS}`); });")}`;
