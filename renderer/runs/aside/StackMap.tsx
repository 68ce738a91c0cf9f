import { useShop } from "../../settings/useSettings.tsx";
import { type AsideSheet, rowsOf } from "./asideRows.ts";

interface Props {
  readonly sheets: readonly AsideSheet[];
  readonly all: number;
  readonly next: number | null;
  choose(range: { from: number; to: number }): void;
}

/** The stack lying on its side, sheet 1 at the left: clear, suspect and bad stretches by pattern and colour; a stretch is chosen by a click. The same is in the table. */
export function StackMap({ sheets, all, next, choose }: Props) {
  const { words } = useShop();
  const w = words.runs.aside;
  const at = (sheet: number) => (1000 * (sheet - 1)) / all;
  return (
    <figure className="stack-map">
      <svg viewBox="0 0 1000 64" preserveAspectRatio="none" role="img" aria-label={w.map}>
        <rect className="stack-clear" x="0" y="10" width="1000" height="44" />
        {rowsOf(sheets).filter((row) => row.first.state !== "clear").map((row) => (
          <rect key={row.from} className={`stack-${row.first.state}`} x={at(row.from)} width={Math.max(2, (1000 * (row.to - row.from + 1)) / all)} y={row.first.state === "bad" ? 2 : 10} height={row.first.state === "bad" ? 60 : 44} onClick={() => choose({ from: row.from, to: row.to })}>
            <title>{`${w.range(String(row.from), String(row.to))}: ${w.states[row.first.state]}`}</title>
          </rect>
        ))}
        {next !== null && <path className="stack-next" d={`M${at(next)} 0v64`} />}
      </svg>
      <figcaption className="stack-legend"><span>1</span><span className="note">{w.map}</span><span>{all}</span></figcaption>
    </figure>
  );
}
