import { mkdtemp, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import sharp from "sharp";
import { expect, test } from "vitest";
import { readToolCode } from "../../../../electron/host/pictures/toolCode.ts";
import codes from "../../../reference/codes_qr_datamatrix.json" with { type: "json" };

/** The symbol for 123456 of ISO/IEC 16022 (second-hand), drawn `module` px a module on a grey plate, turned by `angle` degrees. */
async function symbol(module: number, angle: number, ink = "#101010"): Promise<string> {
  const rows = codes.datamatrix.full_symbol_rows_hex_top_to_bottom.map((hex) => Number.parseInt(hex, 16).toString(2).padStart(12, "0"));
  const dark = rows.flatMap((row, y) => [...row].flatMap((bit, x) => (bit === "1" ? [`<rect x="${x}" y="${y}" width="1.02" height="1.02"/>`] : [])));
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${30 * module}" height="${24 * module}" viewBox="-10 -7 30 24"><rect x="-10" y="-7" width="30" height="24" fill="#c8c8c4"/><g fill="${ink}" transform="rotate(${angle} 5 5)">${dark.join("")}</g></svg>`;
  const path = join(await mkdtemp(join(tmpdir(), "kerfmark-tool-")), "tool.jpg");
  await sharp(Buffer.from(svg)).jpeg({ quality: 90 }).toFile(path);
  return path;
}

test.each([[12, 0], [9, 31], [14, 170]])("reads the Data Matrix on a tool (%i px a module, turned by %i degrees)", async (module, angle) => {
  expect(await readToolCode(await symbol(module, angle))).toBe("123456");
});

test("says that there is none where a plate is bare, and that a file is no picture", async () => {
  expect(await readToolCode(await symbol(10, 0, "#c8c8c4"))).toBeNull();
  const path = join(await mkdtemp(join(tmpdir(), "kerfmark-tool-")), "note.jpg");
  await writeFile(path, "not a picture");
  await expect(readToolCode(path)).rejects.toThrow();
});
