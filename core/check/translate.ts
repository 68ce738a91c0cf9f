/** Patterns of what a language says otherwise: the first that a text matches, and the text in its place. */
export type Patterns = readonly (readonly [RegExp, string])[];

/** A name that the program gave (the import's "piece 1, outer edge") in the reader's language; a name that people gave stays. */
export function translatedName(name: string, names: Patterns): string {
  return names.reduce((text, [pattern, instead]) => text.replace(pattern, instead), name);
}

/** A sentence in the reader's language, with the names in it; as it is where no pattern fits: better in English than lost. */
export function translated(text: string, sentences: Patterns, names: Patterns): string {
  for (const [pattern, instead] of sentences) {
    const found = pattern.exec(text);
    if (found) return text.replace(pattern, instead.replace(/\$(\d)/g, (_, n: string) => translatedName(found[Number(n)] ?? "", names).replace(/\$/g, "$$$$")));
  }
  return text;
}
