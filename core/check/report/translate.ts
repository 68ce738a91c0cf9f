/** Names that a language says otherwise: what of them, and the text in its place. */
export type Patterns = readonly (readonly [RegExp, string])[];

/** Sentences that a language says otherwise: what they look like, and the sentence in their place, with `$1` for what varies, or made of the first of that. The first that a text matches counts. */
export type Sentences = readonly (readonly [RegExp, string | ((varying: string) => string)])[];

/** A name that the program gave (the import's "piece 1, outer edge") in the reader's language; a name that people gave stays. */
export function translatedName(name: string, names: Patterns): string {
  return names.reduce((text, [pattern, instead]) => text.replace(pattern, instead), name);
}

/** A sentence in the reader's language, with the names in it; as it is where no pattern fits: better in English than lost. */
export function translated(text: string, sentences: Sentences, names: Patterns): string {
  for (const [pattern, instead] of sentences) {
    const found = pattern.exec(text);
    if (!found) continue;
    return text.replace(pattern, () => (typeof instead === "function" ? instead(found[1]) : instead.replace(/\$(\d)/g, (_, n: string) => translatedName(found[Number(n)] ?? "", names))));
  }
  return text;
}
