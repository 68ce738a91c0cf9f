import { PDFDocument, PDFName, PDFPageLeaf, PDFPageTree, PDFString, type PDFArray, type PDFContext, type PDFDict, type PDFRef } from "pdf-lib";
import type { Outline } from "../import/outline.ts";
import type { Job } from "../schema.ts";
import { overlayOf, type Exported, type ExportOptions, type Overlay, type OverlayLayer } from "./overlay.ts";
import type { OverlayPart } from "../layerNames.ts";

/** Points per mm. */
const PER_MM = 72 / 25.4;
/** A page's side may have this many units at most (ISO 32000-1, annex C; from memory); larger sheets get a larger unit. */
const LONGEST_SIDE = 14_400;
/** Lines of cuts and creases, mm. */
const LINE_WIDTH = 0.25;
/** Kids of a node of the page tree. */
const KIDS = 64;

/** Spot colours of the processing steps, with a colour (CMYK) to show them in, and their keys by ISO 19593-1. */
const STEPS: Readonly<Record<"cuts" | "creases", { readonly spot: string; readonly shown: readonly number[]; readonly type: string }>> = {
  cuts: { spot: "Cut", shown: [0, 1, 0, 0], type: "Cutting" },
  creases: { spot: "Crease", shown: [1, 0, 0, 0], type: "Creasing" },
};

/**
 * A job's overlay as a PDF page of the sheet's true size. Marks and codes are black alone (a mark of several inks would have several places) on
 * layers of their own; cuts and creases are overprinting spot colours on layers that ISO 19593-1 calls Structural: Cutting and Creasing.
 */
export async function exportPdf(job: Job, options: ExportOptions = {}): Promise<Exported<Uint8Array>> {
  const read = overlayOf(job, options);
  if (!read.ok) return read;
  const page = await startPdf(read.overlay);
  const content = page.context.register(page.context.flateStream(page.content(read.overlay.layers)));
  return { ok: true, file: await page.finish([[content]]), notes: read.overlay.notes };
}

/** A PDF being made whose pages all have the sheet's size and share layers and colours. */
export interface PdfInMaking {
  readonly context: PDFContext;
  /** Units of the page per mm. */
  readonly perMm: number;
  /** The operators that draw these layers. */
  content(layers: readonly OverlayLayer[]): string;
  /** Operators between the marks that put them on a layer, in its colour. */
  onLayer(layer: OverlayLayer, drawn: string): string;
  /** The file, of one page to each list of content streams. */
  finish(pages: ReadonlyArray<readonly PDFRef[]>): Promise<Uint8Array>;
}

/** Begins a PDF of an overlay's size and layers, without pages yet. Nothing in it depends on the clock. */
export async function startPdf(overlay: Pick<Overlay, "title" | "width" | "height" | "layers">): Promise<PdfInMaking> {
  const document = await PDFDocument.create({ updateMetadata: false });
  const { context } = document;
  document.setTitle(overlay.title);
  document.setProducer("Kerfmark");
  const unit = Math.max(1, Math.ceil((Math.max(overlay.width, overlay.height) * PER_MM) / LONGEST_SIDE));
  const perMm = PER_MM / unit;
  const parts = overlay.layers.map((l) => l.part);
  const groups = new Map(overlay.layers.map((layer) => [layer.key, layerGroup(context, layer)]));
  const refs = [...groups.values()];
  document.catalog.set(PDFName.of("OCProperties"), context.obj({ OCGs: refs, D: { Name: PDFString.of("Layers"), BaseState: "ON", ON: refs, Order: refs } }));
  const resources = context.register(resourcesOf(context, parts, groups));
  const onLayer = ({ part, key }: OverlayLayer, drawn: string): string => {
    const step = part === "cuts" || part === "creases";
    const paint = step ? `/GS0 gs /${STEPS[part].spot} CS 1 SCN ${units(LINE_WIDTH, perMm)} w` : "0 0 0 1 k";
    return `/OC /${key} BDC q ${paint}\n${drawn}Q EMC\n`;
  };
  const content = (layers: readonly OverlayLayer[]): string => layers.map((layer) => onLayer(layer, drawnShapes(layer, perMm))).join("");
  const box = context.obj([0, 0, overlay.width * perMm, overlay.height * perMm].map((v) => Math.round(v * 1e5) / 1e5));
  return {
    context, perMm, content, onLayer,
    async finish(pages) {
      const common = { MediaBox: box, TrimBox: box, Resources: resources, ...(unit > 1 ? { UserUnit: unit } : {}) };
      growTree(document, pages, common);
      return document.save({ addDefaultPage: false, updateFieldAppearances: false, objectsPerTick: Infinity });
    },
  };
}

function layerGroup(context: PDFContext, { part, name }: OverlayLayer): PDFRef {
  const step = part === "cuts" || part === "creases" ? { GTS_Metadata: { GTS_ProcStepsGroup: "Structural", GTS_ProcStepsType: STEPS[part].type } } : {};
  return context.register(context.obj({ Type: "OCG", Name: PDFString.of(name), ...step }));
}

function resourcesOf(context: PDFContext, parts: readonly OverlayPart[], groups: ReadonlyMap<string, PDFRef>): PDFDict {
  const spots = (["cuts", "creases"] as const).filter((p) => parts.includes(p)).map((p): [string, PDFArray] => {
    const { spot, shown } = STEPS[p];
    const tint = context.obj({ FunctionType: 2, Domain: [0, 1], C0: [0, 0, 0, 0], C1: [...shown], N: 1 });
    return [spot, context.obj(["Separation", spot, "DeviceCMYK", tint])];
  });
  return context.obj({
    Properties: Object.fromEntries(groups),
    ...(spots.length > 0 ? { ColorSpace: Object.fromEntries(spots), ExtGState: { GS0: { Type: "ExtGState", OP: true, op: true, OPM: 1 } } } : {}),
  });
}

/** Pages in a tree of at most KIDS to a node: a flat one of ten thousand is slow to open. */
function growTree(document: PDFDocument, pages: ReadonlyArray<readonly PDFRef[]>, common: Parameters<PDFContext["obj"]>[0] & object): void {
  const { context, catalog } = document;
  const root = catalog.get(PDFName.of("Pages")) as PDFRef;
  let level: Array<{ ref: PDFRef; node: PDFDict; count: number }> = pages.map((streams) => {
    const node = PDFPageLeaf.fromMapWithContext(context.obj({ Type: "Page", ...common, Contents: [...streams] }).asMap(), context);
    return { ref: context.register(node), node, count: 1 };
  });
  do {
    const above: typeof level = [];
    for (let i = 0; i < level.length; i += KIDS) {
      const kids = level.slice(i, i + KIDS);
      const count = kids.reduce((n, k) => n + k.count, 0);
      const node = PDFPageTree.fromMapWithContext(context.obj({ Type: "Pages", Kids: kids.map((k) => k.ref), Count: count }).asMap(), context);
      const ref = level.length <= KIDS ? root : context.nextRef();
      context.assign(ref, node);
      for (const kid of kids) kid.node.set(PDFName.of("Parent"), ref);
      above.push({ ref, node, count });
    }
    level = above;
  } while (level.length > 1);
}

function drawnShapes(layer: OverlayLayer, perMm: number): string {
  const filled = layer.part === "marks" || layer.part === "codes";
  return layer.shapes.map(({ outlines, light }) => {
    const path = outlines.map((o) => operatorsOf(o, perMm)).join("");
    if (!filled) return `${path}S\n`;
    return light ? `q 0 0 0 0 k ${path}f* Q\n` : `${path}f*\n`;
  }).join("");
}

function operatorsOf(o: Outline, perMm: number): string {
  const n = (v: number) => units(v, perMm);
  const edges = o.edges.map((e) => `${e.map(n).join(" ")} ${e.length === 2 ? "l" : "c"}\n`);
  return `${n(o.x)} ${n(o.y)} m\n${edges.join("")}${o.closed ? "h\n" : ""}`;
}

/** A length in page units, to 1e-5 of one (4e-6 mm at the usual unit), never in powers of ten, which PDF does not know. */
export function units(mm: number, perMm: number): string {
  const text = (mm * perMm).toFixed(5).replace(/\.?0+$/, "");
  return text === "-0" ? "0" : text;
}
