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
  }, [settings.theme]);
  return inks;
}

function read(): LineInks {
  const style = getComputedStyle(document.documentElement);
  return Object.fromEntries(NAMES.map((name) => [name, style.getPropertyValue(`--drawing-${name}`).trim()])) as unknown as LineInks;
}
