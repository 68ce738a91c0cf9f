import { translated, translatedName } from "../../core/check/report/translate.ts";
import { useWords } from "../settings/useSettings.tsx";

/**
 * Sentences that the measuring core writes (warnings, sources of uncertainty) in the reader's language: a language file lists
 * patterns with `$1` for what varies. One without a pattern is shown as the core wrote it.
 */
export function useSentence(): (text: string) => string {
  const { sentences, featureNames } = useWords();
  return (text) => translated(text, sentences, featureNames);
}

/** Names of cuts that the import gave, in the reader's language. */
export function useFeatureName(): (name: string) => string {
  const { featureNames } = useWords();
  return (name) => translatedName(name, featureNames);
}
