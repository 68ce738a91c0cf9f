import { createContext, type ReactNode, useContext, useLayoutEffect, useMemo, useState } from "react";
import { I18nProvider } from "react-aria-components";
import type { Settings } from "../../electron/host/app/choices.ts";
import { type Figures, figuresFor } from "../figures/figures.ts";
import { client } from "../frame/client.ts";
import { chooseLanguage, loadWords, type Words } from "../words/words.ts";

interface Shop {
  readonly settings: Settings;
  readonly words: Words;
  readonly language: string;
  readonly figures: Figures;
  change(part: Partial<Settings>): Promise<void>;
  /** Takes over what the host has changed itself. */
  took(settings: Settings): void;
}

const ShopContext = createContext<Shop | null>(null);

/** Settings, the words of the language in use, and how figures are written. */
export function useShop(): Shop {
  const shop = useContext(ShopContext);
  if (!shop) throw new Error("useShop outside ShopProvider");
  return shop;
}

/** All texts in the language in use. */
export const useWords = () => useShop().words;
/** How the shop writes figures. */
export const useFigures = () => useShop().figures;

/** Gives what is inside the shop's settings, words and figures, and keeps changes of the settings at the host. */
export function ShopProvider({ initial, initialWords, children }: { initial: Settings; initialWords: Words; children: ReactNode }) {
  const [settings, setSettings] = useState(initial);
  const [words, setWords] = useState(initialWords);
  const language = words.tag;

  // Before the effects of what is inside: charts and drawings read their colours from the document.
  useLayoutEffect(() => applyAppearance(settings, language), [settings, language]);

  const shop = useMemo<Shop>(() => ({
    settings,
    words,
    language,
    figures: figuresFor(settings, language),
    took: setSettings,
    async change(part) {
      if (part.language !== undefined) setWords(await loadWords(chooseLanguage(part.language, navigator.languages)));
      setSettings((now) => ({ ...now, ...part }));
      await client.api.settings.$patch({ json: part });
    },
  }), [settings, words, language]);

  return (
    <ShopContext value={shop}>
      <I18nProvider locale={words.locale}>{children}</I18nProvider>
    </ShopContext>
  );
}

/** Theme and text size are attributes of the root element; the style sheets do the rest. */
function applyAppearance(settings: Settings, language: string): void {
  const root = document.documentElement;
  root.lang = language;
  root.dataset["theme"] = settings.theme;
  root.dataset["text"] = settings.textSize;
}
