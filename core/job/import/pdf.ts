import { PDFArray, PDFDict, PDFDocument, PDFHexString, PDFName, PDFNumber, PDFRawStream, PDFString, type PDFObject, type PDFPage } from "pdf-lib";
import { FARTHEST } from "../paths.ts";
import { refuse, Sheet, TooLarge, type DrawingGroup, type ReadDrawing } from "./drawing.ts";
import { apply, compose, IDENTITY, isFiniteOutline, mapOutline, type Matrix, type Outline } from "./outline.ts";
import { guardLoading, unpack } from "./pdfStreams.ts";
import { operators, type Operand } from "./pdfTokens.ts";

const POINT = 25.4 / 72;
/** Longest decoded content, bytes: more is a packed bomb or no job. */
const LONGEST = 128_000_000;
const DEEPEST = 24;

/** The ISO 19593-1 step or the name of an optional-content group. */
interface Content {
  readonly step: string | null;
  readonly layer: string | null;
}

interface State {
  map: Matrix;
  stroke: string;
  fill: string;
  strokeSpot: boolean;
  fillSpot: boolean;
}

/**
 * Reads the drawn paths of a PDF page into mm, y up, upright as the page is shown (its turn and UserUnit applied), from the lower-left corner
 * of `box` ("media" unless told). Spot-colour names and processing steps are read from the page's own resources.
 *
 * @param page counted from 1.
 */
export async function readPdf(bytes: Uint8Array, options: { readonly page?: number; readonly box?: "media" | "trim" | "bleed" | "crop" } = {}): Promise<ReadDrawing> {
  if (bytes.length === 0) return refuse("The PDF file is empty.", "Export the drawing again.");
  let document: PDFDocument;
  guardLoading();
  try {
    document = await PDFDocument.load(bytes, { updateMetadata: false });
    document.getPageCount();
  } catch (error) {
    // The package's own error class is lost on the way through its build: the message is what is left of it.
    if (error instanceof Error && error.message.includes("is encrypted")) return refuse("The PDF file is encrypted.", "Save it without a password and without restrictions.");
    return refuse("The PDF file cannot be read: it is damaged, or it is no PDF.", "Open it in the program that made it and export it again.");
  }
  const pages = document.getPageCount();
  const number = options.page ?? 1;
  if (!(number >= 1 && number <= pages)) return refuse(`The PDF file has ${pages} ${pages === 1 ? "page" : "pages"}: there is no page ${number}.`, "Choose one of its pages with --page.");
  try {
    return readPage(document.getPage(number - 1), pages, options.box ?? "media");
  } catch (error) {
    if (error instanceof TooLarge || error instanceof RangeError) return refuse("The PDF page has more than two million lines, or unpacks without end.", "Export the cut and crease layers only.");
    return refuse(`The PDF page is damaged${error instanceof Error ? ` (${error.message.slice(0, 80)})` : ""}.`, "Export the drawing again.");
  }
}

function readPage(page: PDFPage, pages: number, box: "media" | "trim" | "bleed" | "crop"): ReadDrawing {
  const boxes = { media: page.getMediaBox(), crop: page.getCropBox(), bleed: page.getBleedBox(), trim: page.getTrimBox() };
  const unit = page.node.lookup(PDFName.of("UserUnit"));
  const k = POINT * (unit instanceof PDFNumber && unit.asNumber() > 0 ? unit.asNumber() : 1);
  const { x, y, width: w, height: h } = boxes[box];
  const turn = ((Math.round(page.getRotation().angle / 90) % 4) + 4) % 4;
  // A page turned clockwise by quarter turns, its lower-left corner put back to the origin.
  const turned: Matrix = turn === 1 ? [0, -k, k, 0, -k * y, k * (x + w)] : turn === 2 ? [-k, 0, 0, -k, k * (x + w), k * (y + h)] : turn === 3 ? [0, k, -k, 0, k * (y + h), -k * x] : [k, 0, 0, k, -k * x, -k * y];
  const [width, height] = turn % 2 ? [k * h, k * w] : [k * w, k * h];
  if (!(width > 0 && height > 0 && width <= FARTHEST && height <= FARTHEST)) return refuse("The PDF page has no usable size.", "Export the drawing again.");
  const sheet = new Sheet();
  const reader = { sheet, left: LONGEST };
  const contents = page.node.Contents();
  const streams = contents instanceof PDFArray ? contents.asArray().map((o) => page.node.context.lookup(o)) : contents ? [contents] : [];
  const data = join(streams.map((s) => decode(s, reader)));
  interpret(data, page.node.Resources(), { map: turned, stroke: "black", fill: "black", strokeSpot: false, fillSpot: false }, [], 0, reader);
  if (sheet.outlines.length === 0) return refuse("The PDF page has no drawn lines: it may hold a picture only.", "Export the cut lines as vectors, or choose another page with --page.");
  const shown = Object.fromEntries(
    Object.entries(boxes).map(([name, b]) => {
      const { x: cx, y: cy, edges } = mapOutline({ x: b.x, y: b.y, edges: [[b.x + b.width, b.y + b.height]], closed: false }, turned);
      const [dx, dy] = edges[0];
      return [name, [Math.min(cx, dx), Math.min(cy, dy), Math.max(cx, dx), Math.max(cy, dy)] as const];
    }),
  );
  return { ok: true, drawing: { groups: sheet.groups, outlines: sheet.outlines, page: { width, height }, boxes: shown, pages, pictures: sheet.pictures, notes: [...sheet.notes] } };
}

interface Reader {
  readonly sheet: Sheet;
  left: number;
}

function decode(stream: PDFObject | undefined, reader: Reader): Uint8Array {
  if (!(stream instanceof PDFRawStream)) return new Uint8Array();
  const bytes = unpack(stream, reader.left);
  reader.left -= bytes.length;
  return bytes;
}

function join(parts: readonly Uint8Array[]): Uint8Array {
  const all = new Uint8Array(parts.reduce((n, p) => n + p.length + 1, 0)).fill(32);
  let at = 0;
  for (const p of parts) {
    all.set(p, at);
    at += p.length + 1;
  }
  return all;
}

function interpret(data: Uint8Array, resources: PDFDict | undefined, start: State, within: readonly Content[], depth: number, reader: Reader): void {
  const { sheet } = reader;
  let state = { ...start };
  const saved: State[] = [];
  const content = [...within];
  let path: Array<{ x: number; y: number; edges: number[][]; closed: boolean }> = [];
  const last = () => path[path.length - 1];
  const here = (): readonly number[] => last()?.edges.at(-1)?.slice(-2) ?? [last()?.x ?? 0, last()?.y ?? 0];
  const move = (x: number, y: number) => path.push({ x, y, edges: [], closed: false });
  const edge = (...e: number[]) => {
    const o = last();
    if (!o) return;
    if (o.closed) move(o.x, o.y);
    last().edges.push(e);
  };
  const paint = (stroked: boolean, filled: boolean) => {
    const mapped: Outline[] = path.filter((o) => o.edges.length > 0).map((o) => mapOutline(filled && !stroked ? { ...o, closed: true } : o, state.map));
    path = [];
    if (mapped.length === 0) return;
    if (!mapped.every((o) => isFiniteOutline(o, FARTHEST))) return void sheet.notes.add("A path with numbers that are missing or too large was left out.");
    const [name, kind] = groupOf(content, stroked ? state.stroke : state.fill, stroked ? state.strokeSpot : state.fillSpot);
    sheet.add(mapped, sheet.group(name, kind), filled);
  };
  const close = () => {
    if (last()) last().closed = true;
  };
  for (const { name, operands } of operators(data)) {
    const v = operands.filter((o) => typeof o === "number");
    const named = operands.find((o): o is string => typeof o === "string")?.slice(1) ?? "";
    if (name === "m") move(v[0], v[1]);
    else if (name === "l") edge(v[0], v[1]);
    else if (name === "c") edge(v[0], v[1], v[2], v[3], v[4], v[5]);
    else if (name === "v") edge(here()[0], here()[1], v[0], v[1], v[2], v[3]);
    else if (name === "y") edge(v[0], v[1], v[2], v[3], v[2], v[3]);
    else if (name === "h") close();
    else if (name === "re") path.push({ x: v[0], y: v[1], edges: [[v[0] + v[2], v[1]], [v[0] + v[2], v[1] + v[3]], [v[0], v[1] + v[3]]], closed: true });
    else if (name === "S") paint(true, false);
    else if (name === "s") {
      close();
      paint(true, false);
    } else if (name === "f" || name === "F" || name === "f*") paint(false, true);
    else if (name === "B" || name === "B*") paint(true, true);
    else if (name === "b" || name === "b*") {
      close();
      paint(true, true);
    } else if (name === "n") path = [];
    else if (name === "q") saved.push({ ...state });
    else if (name === "Q") state = saved.pop() ?? state;
    else if (name === "cm" && v.length === 6) state.map = compose(state.map, v as unknown as Matrix);
    else if (name === "BDC" || name === "BMC") content.push(operands[0] === "/OC" ? contentOf(operands[1], resources) : { step: null, layer: null });
    else if (name === "EMC") {
      if (content.length > within.length) content.pop();
    } else if (name === "Do") form(named, resources, state, content, depth, reader);
    else colour(name, v, named, state, resources);
  }
}

/** What draws together: a processing step, else a spot colour, else a layer, else a process colour. */
function groupOf(content: readonly Content[], paint: string, spot: boolean): [string, DrawingGroup["kind"]] {
  const step = content.findLast((c) => c.step !== null)?.step;
  if (step) return [step, "step"];
  const layer = content.findLast((c) => c.layer !== null)?.layer;
  return spot || !layer ? [paint, "colour"] : [layer, "layer"];
}

function colour(name: string, v: readonly number[], named: string, state: State, resources: PDFDict | undefined): void {
  const stroke = name === name.toUpperCase();
  const device: Readonly<Record<string, string>> = { g: "grey", rg: "rgb", k: "cmyk" };
  let paint: string;
  let spot = false;
  if (device[name.toLowerCase()]) paint = `${device[name.toLowerCase()]} ${v.join(" ")}`;
  else if (name === "CS" || name === "cs") {
    const space = entry(resources, "ColorSpace", named);
    const kind = space instanceof PDFArray ? plain(space.lookup(0)) : named;
    spot = kind === "Separation" || kind === "DeviceN";
    paint = space instanceof PDFArray && spot ? spotName(space.lookup(1)) : kind;
  } else if (/^(SCN?|scn?)$/.test(name) && !(stroke ? state.strokeSpot : state.fillSpot)) paint = `${(stroke ? state.stroke : state.fill).split(" ")[0]} ${v.join(" ")}`;
  else return;
  if (stroke) Object.assign(state, { stroke: paint, strokeSpot: spot });
  else Object.assign(state, { fill: paint, fillSpot: spot });
}

function spotName(value: PDFObject | undefined): string {
  return value instanceof PDFArray ? value.asArray().map(plain).join(" + ") : plain(value);
}

function plain(value: PDFObject | undefined): string {
  if (value instanceof PDFName || value instanceof PDFString || value instanceof PDFHexString) return value.decodeText();
  return "";
}

function entry(resources: PDFDict | undefined, category: string, name: string): PDFObject | undefined {
  const dict = resources?.lookup(PDFName.of(category));
  return dict instanceof PDFDict && name ? dict.lookup(PDFName.of(name)) : undefined;
}

/** The step or name of the optional-content group that a property names: keys inside GTS_Metadata (ISO 19593-1), or straight on the group as some writers put them. */
function contentOf(property: Operand | undefined, resources: PDFDict | undefined): Content {
  const group = typeof property === "string" ? entry(resources, "Properties", property.slice(1)) : undefined;
  return group instanceof PDFDict ? describe(group) : { step: null, layer: null };
}

function describe(group: PDFDict): Content {
  const inner = group.lookup(PDFName.of("OCGs"));
  const single = inner instanceof PDFArray ? inner.lookup(0) : inner;
  if (single instanceof PDFDict) return describe(single);
  const metadata = group.lookup(PDFName.of("GTS_Metadata"));
  const holder = metadata instanceof PDFDict ? metadata : group;
  const [steps, type] = ["GTS_ProcStepsGroup", "GTS_ProcStepsType"].map((key) => plain(holder.lookup(PDFName.of(key))));
  return { step: steps ? (type ? `${steps}: ${type}` : steps) : null, layer: plain(group.lookup(PDFName.of("Name"))) || null };
}

/** A picture fills the unit square of its frame. */
function picture({ map }: State, { sheet }: Reader): void {
  sheet.addPicture([[0, 0], [1, 0], [1, 1], [0, 1]].map(([x, y]) => apply(map, x, y)));
}

function form(name: string, resources: PDFDict | undefined, state: State, content: readonly Content[], depth: number, reader: Reader): void {
  const stream = entry(resources, "XObject", name);
  if (!(stream instanceof PDFRawStream)) return;
  const kind = plain(stream.dict.lookup(PDFName.of("Subtype")));
  if (kind === "Image") picture(state, reader);
  if (kind !== "Form") return;
  if (depth >= DEEPEST) return void reader.sheet.notes.add(`Forms nested deeper than ${DEEPEST} were left out.`);
  const matrix = stream.dict.lookup(PDFName.of("Matrix"));
  const numbers = matrix instanceof PDFArray ? matrix.asArray().map((n) => (n instanceof PDFNumber ? n.asNumber() : NaN)) : [];
  const map = numbers.length === 6 && numbers.every(Number.isFinite) ? compose(state.map, numbers as unknown as Matrix) : compose(state.map, IDENTITY);
  const group = stream.dict.lookup(PDFName.of("OC"));
  const own = stream.dict.lookup(PDFName.of("Resources"));
  interpret(decode(stream, reader), own instanceof PDFDict ? own : resources, { ...state, map }, group instanceof PDFDict ? [...content, describe(group)] : content, depth + 1, reader);
}
