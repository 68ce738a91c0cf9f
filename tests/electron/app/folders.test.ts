import { mkdirSync, mkdtempSync, realpathSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { listFolders } from "../../../electron/host/app/folders.ts";

const root = realpathSync(mkdtempSync(join(tmpdir(), "kerfmark-folders-")));
const home = join(root, "home");
for (const folder of ["scans 2/monday", "scans 10", ".hidden"]) mkdirSync(join(home, folder), { recursive: true });
mkdirSync(join(root, "home of others"));
writeFileSync(join(home, "letter.txt"), "");
symlinkSync(join(home, "scans 2"), join(home, "today"));
symlinkSync(join(root, "home of others"), join(home, "others"));
symlinkSync(join(home, "nowhere"), join(home, "broken"));
afterAll(() => rmSync(root, { recursive: true }));

describe("listFolders", () => {
  it("lists folders by name as people count, and neither files, hidden ones nor links that lead out or nowhere", async () => {
    const { at, up, folders } = await listFolders(home);
    expect([at, up]).toEqual([home, null]);
    expect(folders).toEqual(["scans 2", "scans 10", "today"].map((name) => ({ name, path: join(home, name) })));
  });

  it("goes down and comes up again", async () => {
    const below = await listFolders(home, join(home, "scans 2"));
    expect(below).toEqual({ at: join(home, "scans 2"), up: home, folders: [{ name: "monday", path: join(home, "scans 2", "monday") }] });
    expect((await listFolders(home, join(home, "today"))).at).toBe(join(home, "scans 2"));
  });

  it.each([root, join(home, ".."), join(home, "others"), "/", join(home, "..", "home of others"), join(home, "nowhere"), join(home, "letter.txt"), `${home}of others`])("shows nothing of %s", async (at) => {
    await expect(listFolders(home, at)).rejects.toMatchObject({ status: 404, code: "no-folder" });
  });
});
