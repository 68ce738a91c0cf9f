import { useSyncExternalStore } from "react";

/** Names the theme and the text size in use; another name after either has changed, also where the system has changed its own: what is drawn on a canvas is drawn anew then. */
export function useAppearance(): string {
  return useSyncExternalStore(subscribe, () => `${document.documentElement.dataset["theme"]} ${document.documentElement.dataset["text"]} ${DARK.matches}`);
}

const DARK = matchMedia("(prefers-color-scheme: dark)");

function subscribe(changed: () => void): () => void {
  const observer = new MutationObserver(changed);
  observer.observe(document.documentElement, { attributes: true, attributeFilter: ["data-theme", "data-text"] });
  DARK.addEventListener("change", changed);
  return () => {
    observer.disconnect();
    DARK.removeEventListener("change", changed);
  };
}
