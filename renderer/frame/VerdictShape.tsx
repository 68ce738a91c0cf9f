import type { Standing } from "../desk/sheet.ts";

/** Each verdict has a shape of its own, so that it is told apart without colour: disc, octagon, triangle, square. */
export function VerdictShape({ standing }: { standing: Standing }) {
  return (
    <svg className={`shape shape-${standing}`} viewBox="0 0 48 48" aria-hidden="true">
      {drawings[standing]}
    </svg>
  );
}

const square = <rect className="body" x="5" y="5" width="38" height="38" rx="3" />;

const drawings: Record<Standing, React.ReactNode> = {
  in: <><circle className="body" cx="24" cy="24" r="21" /><path className="sign" d="M13 25l8 8 14-17" /></>,
  out: <><path className="body" d="M15 3h18l12 12v18L33 45H15L3 33V15Z" /><path className="sign" d="M15 15l18 18M33 15L15 33" /></>,
  unsure: <><path className="body" d="M24 3 46 43H2Z" /><path className="sign" d="M18.5 22c0-7 11-7 11 0 0 5-5.500 4-5.500 8.500M24 36v.5" /></>,
  refused: <>{square}<path className="sign" d="M13 24h22" /></>,
  failed: <>{square}<path className="sign" d="M24 13v14M24 34v.5" /></>,
  waiting: <>{square}<path className="sign" d="M14 24h.5M24 24h.5M34 24h.5" /></>,
  measuring: <>{square}<path className="sign" d="M14 24h.5M24 24h.5M34 24h.5" /></>,
};
