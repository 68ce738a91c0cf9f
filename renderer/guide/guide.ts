/** A language's guide: one file in `text/` exports it; a language without one shows the English guide. */
export interface Guide {
  readonly title: string;
  readonly intro: string;
  readonly contents: string;
  readonly chapters: readonly Chapter[];
}

export interface Chapter {
  /** Part of the address, the same in all languages: `#guide/unsure`. */
  readonly id: string;
  readonly title: string;
  readonly blocks: readonly Block[];
}

export type Block =
  | { readonly kind: "text" | "caution"; readonly text: string }
  | { readonly kind: "steps" | "points"; readonly items: readonly string[] }
  /** What a word on the screens means. */
  | { readonly kind: "terms"; readonly rows: readonly (readonly [term: string, meaning: string])[] }
  /** A drawing (see Drawings.tsx) or a picture of the program (see pictures/, written by `npm run screenshots`). */
  | { readonly kind: "drawing"; readonly name: "above" | "light"; readonly caption: string }
  | { readonly kind: "picture"; readonly name: "verdict" | "judged" | "correction"; readonly caption: string };

const texts = import.meta.glob<{ default: Guide }>("./text/*.ts");

/** The guide in a language, else in English. */
export async function loadGuide(language: string): Promise<Guide> {
  return (await (texts[`./text/${language}.ts`] ?? texts["./text/en.ts"])()).default;
}
