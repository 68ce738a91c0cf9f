import { useEffect, useState } from "react";
import { useShop } from "../../settings/useSettings.tsx";

/** Colours of drawings, from the theme's custom properties (jobs.css). */
export interface LineInks {
  readonly ground: string;
  readonly paper: string;
  readonly edge: string;
  readonly cut: string;
  readonly crease: string;
  readonly mark: string;
  readonly nothing: string;
  readonly chosen: string;
  readonly text: string;
  readonly map: string;
  /** Size of small words on the drawing, px: it grows with the text of the screens. */
  readonly small: number;
}

const NAMES = ["ground", "paper", "edge", "cut", "crease", "mark", "nothing", "chosen", "text", "map"] as const;

/** The present theme's colours; they change with it, also where the system changes it. */
export function useLineInks(): LineInks {
  const { settings } = useShop();
  const [inks, setInks] = useState(read);
  useEffect(() => {
    const again = () => setInks(read());
    again();
    const dark = matchMedia("(prefers-color-scheme: dark)");
    dark.addEventListener("change", again);
    return () => dark.removeEventListener("change", again);
  }, [settings.theme, settings.textSize]);
  return inks;
}

function read(): LineInks {
  const style = getComputedStyle(document.documentElement);
  const colours = Object.fromEntries(NAMES.map((name) => [name, style.getPropertyValue(`--drawing-${name}`).trim()])) as Record<(typeof NAMES)[number], string>;
  return { ...colours, small: Math.round(0.8 * Number.parseFloat(style.fontSize)) };
}
