import type { DxfEntity } from "./dxf.ts";

type Tag = readonly [code: number, value: string | number];

/**
 * A DXF file of release 2000 (AC1015) round the entities: header with the unit, the tables, blocks and root dictionary that strict readers want to find
 * (DXF reference; second-hand, checked with an independent reader's audit in the tests).
 */
export function dxfFrame(layers: ReadonlyArray<{ readonly name: string; readonly colour: number }>, entities: readonly DxfEntity[], size: { readonly width: number; readonly height: number }): string {
  let last = 0x10;
  const next = () => (++last).toString(16).toUpperCase();
  const table = (name: string, entries: (owner: string) => Tag[][], extra: Tag[] = []): Tag[] => {
    const owner = next();
    const rows = entries(owner);
    return [[0, "TABLE"], [2, name], [5, owner], [330, 0], [100, "AcDbSymbolTable"], [70, rows.length], ...extra, ...rows.flat(), [0, "ENDTAB"]];
  };
  const entry = (kind: string, subclass: string, owner: string, tags: Tag[], handle = next()): Tag[] => [[0, kind], [kind === "DIMSTYLE" ? 105 : 5, handle], [330, owner], [100, "AcDbSymbolTableRecord"], [100, subclass], ...tags];
  const [model, paper] = [next(), next()];
  const linetype = (name: string) => (owner: string) => entry("LTYPE", "AcDbLinetypeTableRecord", owner, [[2, name], [70, 0], [3, ""], [72, 65], [73, 0], [40, 0]]);
  const layer = (owner: string) => (l: { name: string; colour: number }) => entry("LAYER", "AcDbLayerTableRecord", owner, [[2, l.name], [70, 0], [62, l.colour], [6, "Continuous"]]);
  const tables: Tag[] = [
    ...table("VPORT", (o) => [entry("VPORT", "AcDbViewportTableRecord", o, [[2, "*Active"], [70, 0], [10, 0], [20, 0], [11, 1], [21, 1], [12, size.width / 2], [22, size.height / 2], [40, size.height], [41, size.width / size.height], [42, 50]])]),
    ...table("LTYPE", (o) => ["ByBlock", "ByLayer", "Continuous"].map((name) => linetype(name)(o))),
    ...table("LAYER", (o) => [{ name: "0", colour: 7 }, ...layers].map(layer(o))),
    ...table("STYLE", (o) => [entry("STYLE", "AcDbTextStyleTableRecord", o, [[2, "Standard"], [70, 0], [40, 0], [41, 1], [50, 0], [71, 0], [42, 2.5], [3, "txt"], [4, ""]])]),
    ...table("VIEW", () => []),
    ...table("UCS", () => []),
    ...table("APPID", (o) => [entry("APPID", "AcDbRegAppTableRecord", o, [[2, "ACAD"], [70, 0]])]),
    ...table("DIMSTYLE", (o) => [entry("DIMSTYLE", "AcDbDimStyleTableRecord", o, [[2, "Standard"], [70, 0]])], [[100, "AcDbDimStyleTable"]]),
    ...table("BLOCK_RECORD", (o) => [entry("BLOCK_RECORD", "AcDbBlockTableRecord", o, [[2, "*Model_Space"], [340, 0]], model), entry("BLOCK_RECORD", "AcDbBlockTableRecord", o, [[2, "*Paper_Space"], [340, 0]], paper)]),
  ];
  const block = (name: string, owner: string): Tag[] => {
    const space: Tag[] = name === "*Paper_Space" ? [[67, 1]] : [];
    return [
      [0, "BLOCK"], [5, next()], [330, owner], [100, "AcDbEntity"], ...space, [8, "0"], [100, "AcDbBlockBegin"], [2, name], [70, 0], [10, 0], [20, 0], [30, 0], [3, name], [1, ""],
      [0, "ENDBLK"], [5, next()], [330, owner], [100, "AcDbEntity"], ...space, [8, "0"], [100, "AcDbBlockEnd"],
    ];
  };
  const blocks = [...block("*Model_Space", model), ...block("*Paper_Space", paper)];
  const drawn = entities.flatMap(({ kind, layer: on, subclass, tags }): Tag[] => [[0, kind], [5, next()], [330, model], [100, "AcDbEntity"], [8, on], [100, subclass], ...tags]);
  const [root, dictionary] = [next(), next()];
  const objects: Tag[] = [
    [0, "DICTIONARY"], [5, root], [330, 0], [100, "AcDbDictionary"], [281, 1], [3, "ACAD_GROUP"], [350, dictionary],
    [0, "DICTIONARY"], [5, dictionary], [330, root], [100, "AcDbDictionary"], [281, 1],
  ];
  const seed = next();
  const header: Tag[] = [
    [9, "$ACADVER"], [1, "AC1015"], [9, "$HANDSEED"], [5, seed], [9, "$INSUNITS"], [70, 4], [9, "$MEASUREMENT"], [70, 1],
    [9, "$EXTMIN"], [10, 0], [20, 0], [30, 0], [9, "$EXTMAX"], [10, size.width], [20, size.height], [30, 0],
    // Limits that are the extents say the sheet's size to the importer.
    [9, "$LIMMIN"], [10, 0], [20, 0], [9, "$LIMMAX"], [10, size.width], [20, size.height],
  ];
  const section = (name: string, tags: readonly Tag[]): Tag[] => [[0, "SECTION"], [2, name], ...tags, [0, "ENDSEC"]];
  const all = [section("HEADER", header), section("CLASSES", []), section("TABLES", tables), section("BLOCKS", blocks), section("ENTITIES", drawn), section("OBJECTS", objects), [[0, "EOF"]] as Tag[]];
  return `${all.flat().map(([code, value]) => `${code}\n${typeof value === "number" ? written(code, value) : value}`).join("\n")}\n`;
}

/** Whole numbers and handles as they are, lengths to 1e-7 mm, bulges to twelve digits. */
function written(code: number, value: number): string {
  const real = (code >= 10 && code <= 59);
  if (!real) return String(value);
  const text = code === 42 ? value.toPrecision(12) : value.toFixed(7);
  return text.includes("e") ? value.toFixed(15) : text;
}
