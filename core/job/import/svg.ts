import { SaxesParser } from "saxes";
import svgpath from "svgpath";
import { FARTHEST } from "../paths.ts";
import { refuse, Sheet, TooLarge, type ReadDrawing } from "./drawing.ts";
import { apply, compose, IDENTITY, isFiniteOutline, mapOutline, type Matrix } from "./outline.ts";
import { shapeOutlines } from "./svgShapes.ts";
import { CSS_UNITS, fitBox, millimetres, userLength, viewBoxOf, type Viewport } from "./svgViewport.ts";

/** An element of the file, with what its attributes and its children say. */
interface Element {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: Element[];
  text: string;
  /** What its own attributes say, read once however often it is drawn. */
  own?: Own;
}

interface Own {
  readonly hidden: boolean;
  readonly transform: Matrix;
  readonly layer?: string;
  readonly stroke?: string;
  readonly fill?: string;
  readonly visible?: boolean;
}

/** Paint and name that a group hands down to what it holds. */
interface Inherited {
  readonly map: Matrix;
  readonly viewport: Viewport;
  readonly layer: string;
  readonly stroke: string;
  readonly fill: string;
  readonly visible: boolean;
}

type Classes = ReadonlyMap<string, Readonly<Record<string, string>>>;

const HIDDEN = new Set(["defs", "clipPath", "mask", "pattern", "marker", "symbol", "metadata", "style", "script", "title", "desc", "foreignObject", "text", "linearGradient", "radialGradient", "filter"]);
const DEEPEST = 64;
/** References may at most draw this many elements: nested `use` multiplies. */
const MOST_ELEMENTS = 500_000;

/**
 * Reads an SVG drawing into mm, y up. Nothing is fetched or run: scripts, pictures, text, entities and outside references draw no lines.
 */
export function readSvg(source: string): ReadDrawing {
  if (source.trim() === "") return refuse("The SVG file is empty.", "Export the drawing again.");
  let root: Element;
  try {
    root = parseXml(source);
  } catch (error) {
    return refuse(`The SVG file is not well-formed XML: ${error instanceof Error ? error.message.slice(0, 120) : "unreadable"}.`, "Export the drawing again as plain SVG.");
  }
  if (root.name !== "svg") return refuse(`This is not an SVG file: it begins with <${root.name.slice(0, 30)}>.`, "Choose an SVG, DXF or PDF drawing.");
  const view = pageOf(root);
  if (!view) return refuse("The SVG file's width, height or viewBox cannot be read.", "Export the drawing with its size in mm.");
  const sheet = new Sheet();
  if (view.note) sheet.notes.add(view.note);
  const reader = { ids: byId(root), classes: classesOf(root), sheet, left: MOST_ELEMENTS };
  try {
    for (const child of root.children) visit(child, { map: view.map, viewport: view.viewport, layer: "", stroke: "none", fill: "#000000", visible: true }, 0, reader);
  } catch (error) {
    if (error instanceof TooLarge) return refuse("The SVG drawing has too many lines, or references that multiply without end.", "Export the cut and crease layers only.");
    throw error;
  }
  if (sheet.outlines.length === 0) return refuse("The SVG file has no lines or shapes.", "Turn text and pictures to outlines, or export the layer with the cut lines.");
  return { ok: true, drawing: { groups: sheet.groups, outlines: sheet.outlines, page: { width: view.width, height: view.height }, boxes: {}, pages: 1, pictures: sheet.pictures, notes: [...sheet.notes] } };
}

function parseXml(source: string): Element {
  const parser = new SaxesParser({ xmlns: false });
  const top: Element = { name: "", attributes: {}, children: [], text: "" };
  const stack = [top];
  parser.on("opentag", (tag) => {
    if (stack.length > 1000) throw new Error("nested too deeply");
    const element: Element = { name: tag.name.replace(/^svg:/, ""), attributes: tag.attributes, children: [], text: "" };
    stack[stack.length - 1].children.push(element);
    stack.push(element);
  });
  parser.on("closetag", () => void stack.pop());
  const keepText = (text: string) => {
    if (stack[stack.length - 1].name === "style") stack[stack.length - 1].text += text;
  };
  parser.on("text", keepText);
  parser.on("cdata", keepText);
  parser.on("error", (error) => {
    throw error;
  });
  parser.write(source.replace(/^\uFEFF/, "")).close();
  return top.children[0] ?? top;
}

/** The map from user units to mm, y up, the page, and the viewport of what is drawn. */
function pageOf(root: Element): { map: Matrix; width: number; height: number; viewport: Viewport; note?: string } | null {
  const a = root.attributes;
  const box = viewBoxOf(a.viewBox);
  if (box === null) return null;
  const width = millimetres(a.width) ?? (box ? box[2] * CSS_UNITS.px : null);
  const height = millimetres(a.height) ?? (box ? box[3] * CSS_UNITS.px : null);
  if (!width || !height || width > FARTHEST || height > FARTHEST) return null;
  const whole = box ?? [0, 0, width / CSS_UNITS.px, height / CSS_UNITS.px] as const;
  const stated = /[a-z]$/i.test(a.width?.trim() ?? "") && !/px$/i.test(a.width.trim());
  return {
    map: compose([1, 0, 0, -1, 0, height], fitBox(whole, width, height, a.preserveAspectRatio)), width, height, viewport: { width: whole[2], height: whole[3] },
    note: stated ? undefined : "The SVG file gives its size in pixels; 96 pixels were taken as one inch.",
  };
}

function byId(root: Element): Map<string, Element> {
  const ids = new Map<string, Element>();
  const queue = [root];
  for (let e = queue.pop(); e; e = queue.pop()) {
    if (e.attributes.id && !ids.has(e.attributes.id)) ids.set(e.attributes.id, e);
    queue.push(...e.children);
  }
  return ids;
}

/** Declarations of the style sheets' plain class rules (`.name { ... }`), as drawing programs write them. */
function classesOf(root: Element): Classes {
  const classes = new Map<string, Record<string, string>>();
  const queue = [root];
  for (let e = queue.pop(); e; e = queue.pop()) {
    queue.push(...e.children);
    if (e.name !== "style") continue;
    for (const [, selectors, body] of e.text.replace(/\/\*[^]*?\*\//g, "").matchAll(/([^{}]+)\{([^{}]*)\}/g)) {
      for (const selector of selectors.split(",")) {
        const name = /^\s*\.([\w-]+)\s*$/.exec(selector)?.[1];
        if (name) classes.set(name, { ...classes.get(name), ...declarations(body) });
      }
    }
  }
  return classes;
}

function declarations(style: string): Record<string, string> {
  return Object.fromEntries(style.split(";").flatMap((d) => (d.includes(":") ? [[d.slice(0, d.indexOf(":")).trim(), d.slice(d.indexOf(":") + 1).trim()]] : [])));
}

interface Reader {
  readonly ids: ReadonlyMap<string, Element>;
  readonly classes: Classes;
  readonly sheet: Sheet;
  left: number;
}

function visit(element: Element, from: Inherited, depth: number, reader: Reader): void {
  if (HIDDEN.has(element.name)) return;
  if (element.name === "image") return picture(element, from, reader);
  if (depth > DEEPEST || reader.left-- <= 0) throw new TooLarge();
  const here = inherit(element, from, reader.classes);
  if (!here) return;
  const { attributes: a } = element;
  if (element.name === "use") {
    const target = reader.ids.get((a.href ?? a["xlink:href"] ?? "").replace(/^#/, ""));
    if (!target) return void reader.sheet.notes.add("A reference to something outside the file, or that is not in it, was left out.");
    const { width, height } = here.viewport;
    const moved = { ...here, map: compose(here.map, [1, 0, 0, 1, userLength(a.x, width), userLength(a.y, height)]) };
    // A symbol, or a whole drawing, is fitted into the room that the use gives it.
    if (target.name === "symbol" || target.name === "svg") return visitInside(target, moved, a.width ?? target.attributes.width, a.height ?? target.attributes.height, depth, reader);
    return visit(target, moved, depth + 1, reader);
  }
  if (element.name === "svg") {
    const { width, height } = here.viewport;
    const moved = { ...here, map: compose(here.map, [1, 0, 0, 1, userLength(a.x, width), userLength(a.y, height)]) };
    return visitInside(element, moved, a.width, a.height, depth, reader);
  }
  if (element.children.length > 0) element.children.forEach((child) => visit(child, here, depth + 1, reader));
  const outlines = shapeOutlines(element.name, a, here.viewport);
  if (outlines === null || !here.visible || (here.stroke === "none" && here.fill === "none")) return;
  const mapped = outlines.map((o) => mapOutline(o, here.map));
  if (!mapped.every((o) => isFiniteOutline(o, FARTHEST))) return void reader.sheet.notes.add(`A <${element.name}> with numbers that are not finite or too large was left out.`);
  const group = here.layer ? reader.sheet.group(here.layer, "layer") : reader.sheet.group(here.stroke === "none" ? here.fill : here.stroke, "colour");
  reader.sheet.add(mapped, group, here.fill !== "none");
}

/** A placed picture: nothing of it is fetched, but where it lies is noted. */
function picture(element: Element, from: Inherited, reader: Reader): void {
  const here = inherit(element, from, reader.classes);
  if (!here) return;
  const { attributes: a } = element;
  const [x, y] = [userLength(a.x, here.viewport.width), userLength(a.y, here.viewport.height)];
  const [w, h] = [userLength(a.width, here.viewport.width), userLength(a.height, here.viewport.height)];
  reader.sheet.addPicture([[x, y], [x + w, y], [x + w, y + h], [x, y + h]].map(([u, v]) => apply(here.map, u, v)));
}

/** Draws what a symbol or an inner drawing holds, in a viewport of its own. */
function visitInside(element: Element, here: Inherited, width: string | undefined, height: string | undefined, depth: number, reader: Reader): void {
  const size = { width: userLength(width, here.viewport.width, here.viewport.width), height: userLength(height, here.viewport.height, here.viewport.height) };
  const box = viewBoxOf(element.attributes.viewBox);
  if (box === null || !(size.width >= 0 && size.height >= 0)) return void reader.sheet.notes.add(`A <${element.name}> whose size or viewBox cannot be read was left out.`);
  const map = box ? compose(here.map, fitBox(box, size.width, size.height, element.attributes.preserveAspectRatio)) : here.map;
  const viewport = box ? { width: box[2], height: box[3] } : size;
  for (const child of element.children) visit(child, { ...here, map, viewport }, depth + 1, reader);
}

function inherit(element: Element, from: Inherited, classes: Classes): Inherited | null {
  const own = (element.own ??= ownOf(element, classes));
  if (own.hidden) return null;
  return {
    map: own.transform === IDENTITY ? from.map : compose(from.map, own.transform),
    viewport: from.viewport,
    layer: own.layer ?? from.layer,
    stroke: own.stroke ?? from.stroke,
    fill: own.fill ?? from.fill,
    visible: own.visible ?? from.visible,
  };
}

function ownOf({ name, attributes: a }: Element, classes: Classes): Own {
  const named = a.class === undefined ? [] : a.class.split(/\s+/).map((c) => classes.get(c) ?? {});
  const style: Record<string, string> = Object.assign({}, a, ...named, a.style === undefined ? {} : declarations(a.style));
  const label = name === "g" ? (a["inkscape:label"] ?? a["data-name"] ?? a.id) : undefined;
  const paint = (text: string | undefined) => (text === undefined || text === "inherit" ? undefined : text.toLowerCase());
  return {
    hidden: style.display === "none", transform: a.transform ? matrixOf(a.transform) : IDENTITY, layer: label?.slice(0, 200),
    stroke: paint(style.stroke), fill: paint(style.fill), visible: style.visibility === undefined ? undefined : style.visibility === "visible",
  };
}

/** A transform attribute as a matrix: where it carries the origin and the two unit points. */
function matrixOf(text: string): Matrix {
  const at = (x: number, y: number): [number, number] => {
    const moved = svgpath(`M${x} ${y}`).transform(text);
    let end: [number, number] = [NaN, NaN];
    moved.iterate((segment) => {
      if (segment[0] === "M") end = [segment[1], segment[2]];
    });
    return end;
  };
  const [e, f] = at(0, 0);
  const [a, b] = at(1, 0);
  const [c, d] = at(0, 1);
  return [a - e, b - f, c - e, d - f, e, f];
}

