import { refuse, Sheet, TooLarge, type ReadDrawing } from "./drawing.ts";
import { drawEntity } from "./dxfEntities.ts";
import { eachTag, num, openEntity, text, type Entity, type EntityPlace } from "./dxfTags.ts";
import { compose, IDENTITY, type Matrix } from "./outline.ts";

interface Block {
  readonly places: EntityPlace[];
  /** Opened at the first insert, for all of them. */
  entities?: readonly Entity[];
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
  const parts = sections(source);
  if (parts === null) return refuse("This is not a DXF file: its lines are not pairs of a group code and a value.", "Export the drawing again as an ASCII DXF file.");
  const { entities, blocks, header } = parts;
  if (entities.length === 0) return refuse("The DXF file has no drawing in its ENTITIES section.", "Export the drawing's model space.");
  const unit = UNITS[header.get("$INSUNITS 70") ?? 0] ?? options.unit;
  if (unit === undefined) return refuse("The DXF file does not say its unit.", "Say it with --unit mm or --unit inch.", "unit");
  const sheet = new Sheet();
  try {
    const reader = { source, blocks, sheet };
    for (const place of entities) draw(openEntity(source, place), [unit, 0, 0, unit, 0, 0], "0", 0, reader);
  } catch (error) {
    if (error instanceof TooLarge) return refuse("The DXF drawing has more than two million lines.", "Export the cut and crease layers only.");
    throw error;
  }
  if (sheet.outlines.length === 0) return refuse("The DXF file has no lines or curves.", "Export the cut and crease layers.");
  return { ok: true, drawing: { groups: sheet.groups, outlines: sheet.outlines, page: pageOf(header, unit), boxes: {}, pages: 1, unfilled: true, notes: [...sheet.notes] } };
}

/**
 * The sheet, where the drawing's limits are its stated extents, from the origin: as overlays of ours have it, and drawings with a frame of the
 * sheet. Limits alone are mostly a program's default.
 */
function pageOf(header: ReadonlyMap<string, number>, unit: number): { width: number; height: number } | null {
  const corner = (name: string) => [header.get(`${name} 10`) ?? NaN, header.get(`${name} 20`) ?? NaN].map((v) => v * unit);
  const near = (a: number, b: number) => Math.abs(a - b) <= WITHIN;
  const [width, height] = corner("$LIMMAX");
  const told = [...corner("$LIMMIN"), ...corner("$EXTMIN")].every((v) => near(v, 0)) && corner("$EXTMAX").every((v, i) => near(v, [width, height][i]));
  return told && width > 0 && height > 0 ? { width, height } : null;
}

/** mm. */
const WITHIN = 0.001;

/** The places of all entities by section, blocks, and the header's numbers by variable and group code; null where the file is no DXF. */
function sections(source: string): { entities: EntityPlace[]; blocks: Map<string, Block>; header: Map<string, number> } | null {
  const found: FilePart[] = [];
  const header = new Map<string, number>();
  let section = "";
  let variable = "";
  let type = "";
  const start = source.charCodeAt(0) === 0xfeff ? 1 : 0;
  let last = start;
  const end = eachTag(source, start, source.length, (code, from, to, next) => {
    if (code === 0) {
      if (found.length > 0) found[found.length - 1].to = last;
      type = source.slice(from, to).trim();
      if (type === "ENDSEC") section = "";
      found.push({ type, section, from: next, to: next });
    } else if (code === 2 && type === "SECTION") {
      section = source.slice(from, to).trim();
      type = "";
    } else if (section === "HEADER") {
      if (code === 9) variable = source.slice(from, to).trim();
      else header.set(`${variable} ${code}`, Number(source.slice(from, to)));
    }
    last = next;
  });
  const file = found.length > 0 ? found : null;
  if (end < 0 || !file?.some((f) => f.type === "SECTION")) return null;
  file[file.length - 1].to = last;
  return { ...sorted(source, file), header };
}

/** What begins with a group 0: its section, and where what follows begins and ends. */
interface FilePart extends EntityPlace {
  readonly section: string;
  to: number;
}

function sorted(source: string, found: readonly FilePart[]): { entities: EntityPlace[]; blocks: Map<string, Block> } {
  const entities: EntityPlace[] = [];
  const blocks = new Map<string, Block>();
  let block: Block | null = null;
  let polyline: EntityPlace | null = null;
  for (const place of found) {
    const { type, section } = place;
    if (type === "SECTION" || type === "ENDSEC" || (section !== "ENTITIES" && section !== "BLOCKS")) continue;
    if (section === "BLOCKS" && type === "BLOCK") {
      const head = openEntity(source, place);
      block = { places: [], x: num(head, 10), y: num(head, 20) };
      blocks.set(text(head, 2), block);
    } else if (section === "ENTITIES" || type !== "ENDBLK") {
      if (type === "VERTEX" && polyline) (polyline.vertices ??= []).push(place);
      else (section === "ENTITIES" ? entities : block?.places)?.push(place);
      polyline = type === "POLYLINE" ? place : type === "VERTEX" ? polyline : null;
    }
  }
  return { entities, blocks };
}

interface Reader {
  readonly source: string;
  readonly blocks: ReadonlyMap<string, Block>;
  readonly sheet: Sheet;
}

function draw(entity: Entity, map: Matrix, onLayer: string, depth: number, reader: Reader): void {
  if (num(entity, 67) === 1) return;
  const { sheet } = reader;
  // Layer 0 inside a block means the layer of the insert.
  const own = text(entity, 8) || "0";
  const layer = own === "0" ? onLayer : own;
  if (entity.type === "INSERT") return insert(entity, map, layer, depth, reader);
  if (SILENT.has(entity.type)) return;
  const drawn = drawEntity(entity, map);
  if (drawn.note) sheet.notes.add(drawn.note);
  sheet.add(drawn.outlines, sheet.group(layer, "layer"), drawn.filled);
}

function insert(entity: Entity, map: Matrix, layer: string, depth: number, reader: Reader): void {
  const { source, blocks, sheet } = reader;
  const block = blocks.get(text(entity, 2));
  if (!block) return void sheet.notes.add(`The block ${JSON.stringify(text(entity, 2).slice(0, 60))} is not in the file (an outside reference?) and was left out.`);
  if (depth >= DEEPEST) return void sheet.notes.add(`Blocks nested deeper than ${DEEPEST} were left out.`);
  const entities = (block.entities ??= block.places.map((place) => openEntity(source, place)));
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
      const inside = compose(map, compose(mirrored, compose(placed, [1, 0, 0, 1, -block.x, -block.y])));
      for (const inner of entities) draw(inner, inside, layer, depth + 1, reader);
    }
  }
}
