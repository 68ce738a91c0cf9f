/** Places in a row, or in a `ring`, that belong together: runs of those that `belong`, each ended by one that `parts`; those that do neither are passed over. */
export function runsOf(belong: readonly boolean[], parts: readonly boolean[], ring: boolean): number[][] {
  const from = ring ? Math.max(0, parts.indexOf(true)) : 0;
  const runs: number[][] = [[]];
  for (let i = 0; i < belong.length; i++) {
    const k = (from + i) % belong.length;
    if (belong[k]) runs[runs.length - 1].push(k);
    else if (parts[k]) runs.push([]);
  }
  return runs.filter((run) => run.length > 0);
}
