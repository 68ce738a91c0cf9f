import { useWords } from "../settings/useSettings.tsx";

/**
 * Sentences that the measuring core writes (warnings, sources of uncertainty) in the reader's language: a language file lists
 * patterns with `$1` for what varies. One without a pattern is shown as the core wrote it: better in English than lost.
 */
export function useSentence(): (text: string) => string {
  const { sentences } = useWords();
  return (text) => {
    for (const [pattern, translation] of sentences) {
      if (pattern.test(text)) return text.replace(pattern, translation);
    }
    return text;
  };
}
