import type en from "./en.ts";

/** Every text of the screens. A language is one file beside this one that exports an object of this type. */
export type Words = typeof en;

const files = import.meta.glob<{ default: Words }>(["./??.ts", "./??-??.ts"]);

/** The languages there are: the names of the files. */
export const languages = Object.keys(files).map((path) => path.slice(2, -3)).sort();

/** The language to use: the chosen one, else the first of the reader's own that we have, else English. */
export function chooseLanguage(chosen: string, preferred: readonly string[]): string {
  if (languages.includes(chosen)) return chosen;
  for (const tag of preferred) {
    if (languages.includes(tag)) return tag;
    const short = tag.slice(0, 2);
    if (languages.includes(short)) return short;
  }
  return "en";
}

/** The texts of one of `languages`. */
export async function loadWords(language: string): Promise<Words> {
  return (await files[`./${language}.ts`]()).default;
}
