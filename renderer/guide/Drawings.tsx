import type { ReactNode } from "react";

/** Plain drawings in the theme's colours. */
export function Drawing({ name }: { name: "above" | "light" }) {
  return <svg className="guide-drawing" viewBox="0 0 360 200" aria-hidden="true">{drawings[name]}</svg>;
}

const dot = (x: number, y: number) => <circle key={`${x} ${y}`} className="ink" cx={x} cy={y} r="4" />;

const drawings: Record<"above" | "light", ReactNode> = {
  above: (
    <>
      <path className="table" d="M10 190 70 120H290L350 190Z" />
      <path className="board" d="M62 178 98 132H262L298 178Z" />
      <path className="cut" d="M110 168 124 143H236L250 168Z" />
      {[[78, 172], [105, 138], [180, 137], [255, 138], [282, 172]].map(([x, y]) => dot(x, y))}
      <path className="ray" d="M180 52 62 178M180 52 298 178M180 52V155" />
      <rect className="device" x="140" y="20" width="80" height="26" rx="6" />
      <circle className="lens" cx="180" cy="48" r="9" />
    </>
  ),
  light: (
    <>
      <path className="table" d="M10 178H350V192H10Z" />
      <path className="board" d="M40 150H196V178H40ZM206 150H320V178H206Z" />
      <path className="shadow" d="M196 150 206 150V178L196 178Z" />
      <path className="shade-line" d="M206 150V166L196 178V150Z" />
      <path className="ray" d="M70 60 206 150M70 60 196 150M70 60 150 150" />
      <path className="device" d="M38 62 62 34 84 52 62 78Z" />
      <circle className="lens" cx="72" cy="60" r="8" />
    </>
  ),
};
