import { refuse, Sheet, TooLarge, type ReadDrawing } from "./drawing.ts";
import { drawEntity } from "./dxfEntities.ts";
import { num, text, type Entity } from "./dxfTags.ts";
import { compose, IDENTITY, type Matrix } from "./outline.ts";

interface Block {
  readonly entities: Entity[];
  readonly x: number;
  readonly y: number;
}

/** mm per drawing unit by $INSUNITS (DXF reference, HEADER section; second-hand). */
const UNITS: Readonly<Record<number, number>> = { 1: 25.4, 2: 304.8, 4: 1, 5: 10, 6: 1000, 8: 25.4e-6, 9: 0.0254, 10: 914.4, 13: 0.001, 14: 100 };

/** Text, numbers and helpers that draw no line. */
const SILENT = new Set(["TEXT", "MTEXT", "ATTDEF", "ATTRIB", "POINT", "SEQEND", "VIEWPORT", "HATCH", "DIMENSION", "LEADER", "MLEADER", "MULTILEADER", "IMAGE", "WIPEOUT", "OLE2FRAME", "TOLERANCE"]);

const DEEPEST = 16;

/**
 * Reads an ASCII DXF drawing (R12 on). `unit` is mm per drawing unit for a file that states none; without it such a file is refused, since a
 * guess between mm and inch is not one to make.
 */
export function readDxf(source: string, options: { readonly unit?: number } = {}): ReadDrawing {
  if (source.startsWith("AutoCAD Binary DXF")) return refuse("This is a binary DXF file.", "Save the drawing as an ASCII DXF file.");
  const tags = readTags(source);
  if (tags === null) return refuse("This is not a DXF file: its lines are not pairs of a group code and a value.", "Export the drawing again as an ASCII DXF file.");
  const { entities, blocks, units } = sections(tags);
  if (entities.length === 0) return refuse("The DXF file has no drawing in its ENTITIES section.", "Export the drawing's model space.");
  const unit = UNITS[units] ?? options.unit;
  if (unit === undefined) return refuse("The DXF file does not say its unit.", "Say it with --unit mm or --unit inch.", "unit");
  const sheet = new Sheet();
  try {
    draw(entities, [unit, 0, 0, unit, 0, 0], "0", 0, blocks, sheet);
  } catch (error) {
    if (error instanceof TooLarge) return refuse("The DXF drawing has more than two million lines.", "Export the cut and crease layers only.");
    throw error;
  }
  if (sheet.outlines.length === 0) return refuse("The DXF file has no lines or curves.", "Export the cut and crease layers.");
  return { ok: true, drawing: { groups: sheet.groups, outlines: sheet.outlines, page: null, boxes: {}, pages: 1, unfilled: true, notes: [...sheet.notes] } };
}

function readTags(source: string): Array<readonly [number, string]> | null {
  const lines = source.replace(/^\uFEFF/, "").split(/\r\n|\n|\r/);
  const tags: Array<readonly [number, string]> = [];
  for (let i = 0; i + 1 < lines.length; i += 2) {
    const code = Number(lines[i]);
    if (!Number.isInteger(code) || lines[i].trim() === "") return tags.length > 0 && lines[i].trim() === "" ? tags : null;
    tags.push([code, lines[i + 1].trim()]);
  }
  return tags.some(([c, v]) => c === 0 && v === "SECTION") ? tags : null;
}

function sections(tags: ReadonlyArray<readonly [number, string]>): { entities: Entity[]; blocks: Map<string, Block>; units: number } {
  const entities: Entity[] = [];
  const blocks = new Map<string, Block>();
  let units = 0;
  let section = "";
  let block: Block | null = null;
  let polyline: Entity | null = null;
  for (let i = 0; i < tags.length; i++) {
    const [code, value] = tags[i];
    if (section === "HEADER" && code === 9 && value === "$INSUNITS") units = Number(tags[i + 1]?.[1]);
    if (code !== 0) continue;
    if (value === "SECTION") section = tags[i + 1]?.[1] ?? "";
    if (value === "ENDSEC" || value === "SECTION") continue;
    let end = i + 1;
    while (end < tags.length && tags[end][0] !== 0) end++;
    const entity: Entity = { type: value, tags: tags.slice(i + 1, end), vertices: [] };
    if (section === "BLOCKS" && value === "BLOCK") {
      block = { entities: [], x: num(entity, 10), y: num(entity, 20) };
      blocks.set(text(entity, 2), block);
    } else if (section === "ENTITIES" || (section === "BLOCKS" && value !== "ENDBLK")) {
      if (value === "VERTEX" && polyline) polyline.vertices.push(entity);
      else (section === "ENTITIES" ? entities : block?.entities)?.push(entity);
      polyline = value === "POLYLINE" ? entity : value === "VERTEX" ? polyline : null;
    }
  }
  return { entities, blocks, units };
}

function draw(entities: readonly Entity[], map: Matrix, onLayer: string, depth: number, blocks: ReadonlyMap<string, Block>, sheet: Sheet): void {
  for (const entity of entities) {
    if (num(entity, 67) === 1) continue;
    // Layer 0 inside a block means the layer of the insert.
    const own = text(entity, 8) || "0";
    const layer = own === "0" ? onLayer : own;
    if (entity.type === "INSERT") insert(entity, map, layer, depth, blocks, sheet);
    else if (!SILENT.has(entity.type)) {
      const drawn = drawEntity(entity, map);
      if (drawn.note) sheet.notes.add(drawn.note);
      sheet.add(drawn.outlines, sheet.group(layer, "layer"), drawn.filled);
    }
  }
}

function insert(entity: Entity, map: Matrix, layer: string, depth: number, blocks: ReadonlyMap<string, Block>, sheet: Sheet): void {
  const block = blocks.get(text(entity, 2));
  if (!block) return void sheet.notes.add(`The block ${JSON.stringify(text(entity, 2).slice(0, 60))} is not in the file (an outside reference?) and was left out.`);
  if (depth >= DEEPEST) return void sheet.notes.add(`Blocks nested deeper than ${DEEPEST} were left out.`);
  const turn = (num(entity, 50) * Math.PI) / 180;
  const sx = num(entity, 41, 1);
  const sy = num(entity, 42, 1);
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  const columns = Math.max(1, num(entity, 70, 1));
  const rows = Math.max(1, num(entity, 71, 1));
  if (!(columns * rows <= 1e5)) throw new TooLarge();
  const mirrored: Matrix = num(entity, 230, 1) < 0 ? [-1, 0, 0, 1, 0, 0] : IDENTITY;
  for (let i = 0; i < columns; i++) {
    for (let j = 0; j < rows; j++) {
      const [dx, dy] = [i * num(entity, 44), j * num(entity, 45)];
      const placed: Matrix = [cos * sx, sin * sx, -sin * sy, cos * sy, num(entity, 10) + cos * dx - sin * dy, num(entity, 20) + sin * dx + cos * dy];
      draw(block.entities, compose(map, compose(mirrored, compose(placed, [1, 0, 0, 1, -block.x, -block.y]))), layer, depth + 1, blocks, sheet);
    }
  }
}
