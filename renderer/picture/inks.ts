import type { Inks } from "./drawOverlay.ts";

/** The drawing's colours, from the theme's custom properties. */
export function inksOf(element: Element): Inks & { readonly ground: string } {
  const style = getComputedStyle(element);
  const ink = (name: string) => style.getPropertyValue(name).trim();
  return {
    ground: ink("--picture-ground"),
    mark: ink("--ink-mark"),
    missing: ink("--ink-missing"),
    nominal: ink("--ink-nominal"),
    found: ink("--ink-found"),
    within: ink("--ink-within"),
    beyond: ink("--ink-beyond"),
    halo: ink("--ink-halo"),
    small: Math.round(0.8 * Number.parseFloat(getComputedStyle(document.documentElement).fontSize)),
  };
}
