import type { Profile } from "../../core/camera/profile.ts";
import { useShop } from "../settings/useSettings.tsx";

const CELL = 40;
/** The longest arrow, in cells. */
const LONGEST = 0.46;

/** Mean residual of each part of the picture as an arrow: what the profile does not explain. */
export function ResidualMap({ profile }: { profile: Pick<Profile, "residuals" | "picture"> }) {
  const { words, figures } = useShop();
  const w = words.cameras.residuals;
  const { columns, rows, dx, dy, count } = profile.residuals;
  const tall = (CELL * columns * profile.picture.height) / profile.picture.width / rows;
  const sizes = dx.map((x, i) => Math.hypot(x ?? 0, dy[i] ?? 0));
  const most = Math.max(...sizes, 1e-9);
  const written = figures.number(most, 3);
  const scale = (LONGEST * Math.min(CELL, tall)) / most;
  return (
    <section className="card">
      <h2>{w.title}</h2>
      <svg className="residual-map" viewBox={`0 0 ${CELL * columns} ${tall * rows}`} role="img" aria-label={w.label(written)}>
        {dx.map((x, i) => {
          const [left, top] = [(i % columns) * CELL, Math.floor(i / columns) * tall];
          const [cx, cy] = [left + CELL / 2, top + tall / 2];
          const y = dy[i];
          return (
            <g key={i}>
              <rect className={count[i] > 0 ? "cell" : "cell cell-empty"} x={left} y={top} width={CELL} height={tall}>{count[i] === 0 && <title>{w.empty}</title>}</rect>
              {x !== null && y !== null && count[i] > 0 && (
                <>
                  <circle className="arrow-root" cx={cx} cy={cy} r="1.4" />
                  <path className="arrow" d={arrow(cx, cy, x * scale, y * scale)} />
                </>
              )}
            </g>
          );
        })}
      </svg>
      <p className="note">{w.note(written)}</p>
    </section>
  );
}

/** A line with a head whose size goes with its length. */
function arrow(x: number, y: number, dx: number, dy: number): string {
  const [tx, ty] = [x + dx, y + dy];
  const [bx, by] = [0.3 * dx, 0.3 * dy];
  return `M${x} ${y}L${tx} ${ty}M${tx} ${ty}l${-bx - 0.6 * by} ${-by + 0.6 * bx}M${tx} ${ty}l${-bx + 0.6 * by} ${-by - 0.6 * bx}`;
}
