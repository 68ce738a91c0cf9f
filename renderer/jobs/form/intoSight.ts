/** A ref for what appears on being chosen elsewhere: it scrolls into sight once, when it comes. Stable, so that it does not run again. */
export function intoSight(element: HTMLElement | null): void {
  element?.scrollIntoView({ block: "nearest" });
}
