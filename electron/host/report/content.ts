import type { Manner } from "./figures.ts";

/** A report before it is laid out: PDF and HTML are made from the same content, so that they say the same. */
export interface ReportContent extends Manner {
  readonly title: string;
  readonly subtitle: string;
  readonly shop: string;
  /** PNG or JPEG. */
  readonly logo?: Uint8Array;
  readonly blocks: readonly Block[];
}

export type Block =
  | { readonly kind: "heading"; readonly text: string }
  | { readonly kind: "text"; readonly text: string }
  /** A verdict in large letters; the word carries it, the colour only helps. */
  | { readonly kind: "verdict"; readonly text: string; readonly tone: "good" | "bad" | "open" }
  | { readonly kind: "facts"; readonly rows: readonly (readonly [string, string])[] }
  | { readonly kind: "table"; readonly columns: readonly Column[]; readonly rows: readonly (readonly string[])[] }
  | { readonly kind: "picture"; readonly jpeg: Uint8Array; readonly width: number; readonly height: number; readonly caption: string }
  | { readonly kind: "chart"; readonly chart: Chart }
  | { readonly kind: "signatures"; readonly roles: readonly string[] };

export interface Column {
  readonly title: string;
  /** Share of the width; the shares of a table need not add up to anything. */
  readonly share: number;
  readonly numeric?: boolean;
}

/** Values in their order, with level lines. */
export interface Chart {
  readonly title: string;
  /** Decimals of its figures. */
  readonly digits: number;
  /** In the unit that is shown. */
  readonly values: readonly (number | null)[];
  /** Points drawn as squares instead of dots: signals. */
  readonly marked: ReadonlySet<number>;
  readonly lines: readonly { readonly label: string; readonly at: number; readonly dashed: boolean }[];
}
