import { useWords } from "../../settings/useSettings.tsx";
import type { Side } from "./SideForm.tsx";

/** A sheet as printed beside the same sheet as it lies on the cutter: a flag of two arms tells every way of turning apart. */
export function SidePicture({ side }: { side: Side }) {
  const w = useWords().jobs.edit;
  const turned = side === "x" ? "translate(150 0) scale(-1 1)" : side === "y" ? "translate(90 0) translate(0 54) scale(1 -1)" : "translate(90 0)";
  return (
    <svg className="side-picture" viewBox="-2 -2 156 72" aria-hidden="true">
      <Sheet seen />
      <g transform={turned}><Sheet seen={side === "print"} /></g>
      {side === "x" && <path className="side-axis" d="M75 -2V56" />}
      {side === "y" && <path className="side-axis" d="M64 27H86" />}
      <path className="side-turn" d={side === "y" ? "M70 38a6 11 0 1 1 10 0M84 33l-4 6-5-5" : side === "x" ? "M66 22a9 7 0 1 1 18 0M88 16l-4 7-6-4" : "M66 27h16M78 22l6 5-6 5"} />
      <text x="30" y="67">{w.asPrinted}</text>
      <text x="120" y="67">{w.onCutter}</text>
    </svg>
  );
}

/** Print in sight is filled; on the far side its outline shows through. */
function Sheet({ seen }: { seen: boolean }) {
  return (
    <>
      <rect className="side-sheet" width="60" height="54" />
      <path className={seen ? "side-print" : "side-print unseen-print"} d="M12 44V10H40V18H21V25H33V32H21V44Z" />
      <circle className={seen ? "side-print" : "side-print unseen-print"} cx="50" cy="8" r="3" />
    </>
  );
}
