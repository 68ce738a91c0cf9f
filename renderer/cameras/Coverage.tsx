import { useWords } from "../settings/useSettings.tsx";
import type { ReadPicture } from "./useTargetSet.ts";

/** Share of the picture's half that a dot must come near a corner by, as the host judges it. */
const CORNER = 0.15;

/** Where in the picture dots were seen, all pictures laid on each other; corners that none reached are marked. */
export function Coverage({ pictures }: { pictures: readonly ReadPicture[] }) {
  const words = useWords();
  const w = words.cameras.take;
  const first = pictures[0];
  if (!first) return null;
  const landscape = (p: ReadPicture): [number, number] => [Math.max(p.width, p.height), Math.min(p.width, p.height)];
  const [width, height] = landscape(first);
  const dots = pictures.flatMap((p) => p.points.map(({ u, v }): [number, number] => (p.width >= p.height ? [u, v] : [v, p.width - 1 - u])));
  const corners = [[0, 0], [1, 0], [1, 1], [0, 1]].map(([x, y]) => ({ x, y, reached: dots.some(([u, v]) => Math.abs(u - x * width) < CORNER * width && Math.abs(v - y * height) < CORNER * height) }));
  const radius = width / 150;
  return (
    <figure className="coverage">
      <svg viewBox={`0 0 ${width} ${height}`} role="img" aria-label={w.covered}>
        <rect className="coverage-ground" width={width} height={height} />
        {corners.filter((c) => !c.reached).map((c) => <rect key={`${c.x}${c.y}`} className="corner-missed" x={c.x * (1 - CORNER) * width} y={c.y * (1 - CORNER) * height} width={CORNER * width} height={CORNER * height} />)}
        {dots.map(([u, v], k) => <circle key={k} className={"coverage-dot"} cx={u} cy={v} r={radius} />)}
      </svg>
      <figcaption className="note">{w.covered}.{corners.some((c) => !c.reached) && ` ${w.coveredNote}`}</figcaption>
    </figure>
  );
}
