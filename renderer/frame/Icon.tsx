const SHAPES = {
  plus: "M12 5v14M5 12h14",
  minus: "M5 12h14",
  whole: "M4 9V4h5M15 4h5v5M20 15v5h-5M9 20H4v-5",
  worst: "M12 3 21 12 12 21 3 12ZM12 8v5M12 15.5v.5",
  check: "M4 6h9M4 12h6M4 18h6M13 16l3 3 6-8",
  runs: "M4 18l5-6 4 3 7-9M4 21h17",
  jobs: "M6 3h9l4 4v14H6ZM9 11h7M9 15h7",
  cameras: "M3 8h4l2-3h6l2 3h4v11H3ZM12 17a4 4 0 1 0 0-8 4 4 0 0 0 0 8",
  settings: "M4 7h9M17 7h3M4 17h3M11 17h9M15 4.5v5M9 14.5v5",
  close: "M6 6l12 12M18 6L6 18",
  open: "M3 19V5h6l2 3h10v11ZM12 11v6M9 14h6",
  camera: "M3 8h4l2-3h6l2 3h4v11H3ZM12 17a4 4 0 1 0 0-8 4 4 0 0 0 0 8",
  phone: "M8 3h8v18H8ZM11 18h2",
  folder: "M3 19V5h6l2 3h10v11Z",
  again: "M19 8a8 8 0 1 0 1 6M20 3v5h-5",
  undo: "M9 7 4 12l5 5M4 12h10a6 6 0 0 1 6 6",
  redo: "M15 7l5 5-5 5M20 12H10a6 6 0 0 0-6 6",
  print: "M7 9V3h10v6M7 17H4V9h16v8h-3M7 14h10v7H7Z",
  save: "M12 4v11M7 10l5 5 5-5M4 20h16",
  guide: "M5 4h11a3 3 0 0 1 3 3v13H8a3 3 0 0 1-3-3ZM9 9h6M9 13h6",
} as const;

export type IconName = keyof typeof SHAPES;

/** A plain line drawing beside a word; never the only bearer of a meaning. */
export function Icon({ name }: { name: IconName }) {
  return (
    <svg className="icon" viewBox="0 0 24 24" aria-hidden="true">
      <path d={SHAPES[name]} />
    </svg>
  );
}
