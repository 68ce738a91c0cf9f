import { mkdirSync, mkdtempSync, readdirSync, rmSync, utimesSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { trimTiles } from "../../../../electron/host/app/pyramid.ts";

test("the tiles of the pictures looked at last are kept, the others go; a folder that is not there is no fault", async () => {
  const folder = mkdtempSync(join(tmpdir(), "kerfmark-tiles-"));
  ["old", "newest", "newer"].forEach((name, i) => {
    mkdirSync(join(folder, name, "tiles_files/0"), { recursive: true });
    writeFileSync(join(folder, name, "tiles_files/0/0_0.jpeg"), "tile");
    const at = [1000, 3000, 2000][i];
    utimesSync(join(folder, name), at, at);
  });
  await trimTiles(folder, 3);
  expect(readdirSync(folder)).toHaveLength(3);
  await trimTiles(folder, 2);
  expect(readdirSync(folder).sort()).toEqual(["newer", "newest"]);
  rmSync(folder, { recursive: true });
  await trimTiles(folder, 2);
});
