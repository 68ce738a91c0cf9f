import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import path from "node:path";
import { flipFuses, FuseVersion } from "@electron/fuses";
import { describe, expect, it } from "vitest";
import { workers } from "../../tools/building.ts";
import { FUSES, wrongFuses } from "../../tools/fuses.ts";
import { licencesOfDependencies } from "../../tools/licenceTexts.ts";

const root = path.resolve(import.meta.dirname, "../..");
const config = JSON.parse(readFileSync(path.join(root, "electron-builder.json"), "utf8")) as Record<string, unknown>;
const fromBuilder = createRequire(createRequire(path.join(root, "package.json")).resolve("electron-builder"));

/** electron-builder's own check of a configuration against its schema: throws where it does not hold. */
async function validate(candidate: object): Promise<void> {
  const file = path.join(path.dirname(fromBuilder.resolve("app-builder-lib/package.json")), "out/util/config/config.js");
  const builder = fromBuilder(file) as { validateConfiguration(config: object, log: object): Promise<void> };
  await builder.validateConfiguration(candidate, { isEnabled: false, add: () => undefined });
}

it("the build makes every file that is started as a thread", () => {
  const started = sourcesOf("electron").flatMap((file) => {
    const names = [...readFileSync(path.join(root, file), "utf8").matchAll(/new URL\(`\.\/(\w+)\$\{extname\(import\.meta\.filename\)\}`/g)].map((match) => match[1]);
    return names.map((name) => path.join(path.dirname(file), `${name}.ts`));
  });
  expect(started.length).toBeGreaterThanOrEqual(2);
  expect(workers()).toEqual(expect.arrayContaining(started));
});

function sourcesOf(folder: string): string[] {
  return readdirSync(path.join(root, folder), { recursive: true, encoding: "utf8" }).filter((file) => file.endsWith(".ts")).map((file) => path.join(folder, file));
}

describe("the installers' configuration", () => {
  it("holds against electron-builder's schema, which would reject a wrong one", async () => {
    await validate(config);
    await expect(validate({ ...config, electronFuses: { runAsNode: "no" } })).rejects.toThrow();
    await expect(validate({ ...config, asarUnpacked: [] })).rejects.toThrow();
  });

  it("sets the fuses that close Node's back doors", () => {
    expect(config.electronFuses).toEqual({
      runAsNode: false,
      enableCookieEncryption: true,
      enableNodeOptionsEnvironmentVariable: false,
      enableNodeCliInspectArguments: false,
      enableEmbeddedAsarIntegrityValidation: true,
      onlyLoadAppFromAsar: true,
      loadBrowserProcessSpecificV8Snapshot: false,
      grantFileProtocolExtraPrivileges: false,
    });
    expect(Object.keys(FUSES).sort()).toEqual(Object.keys(config.electronFuses as object).sort());
  });

  it("is what the program's fuses are read back against: as delivered they are wrong, set by the packager's own tool they are right", async () => {
    const binary = path.join(mkdtempSync(path.join(tmpdir(), "kerfmark-fuses-")), "kerfmark");
    // What is in a binary: the sentinel, the wire's version and length, then a letter for each fuse: 1 on, 0 off, r removed (@electron/fuses, dist/constants.js and index.js, seen).
    const asDelivered = Buffer.concat([Buffer.from("dL7pKGdnNz796PbbjQWNKmHXBZaB9tsX"), Buffer.from([1, 9]), Buffer.from("101100001")]);
    writeFileSync(binary, Buffer.concat([Buffer.alloc(5000, "program "), asDelivered, Buffer.alloc(5000, "more of it ")]));
    expect(await wrongFuses(binary)).toEqual(["runAsNode", "enableCookieEncryption", "enableNodeOptionsEnvironmentVariable", "enableNodeCliInspectArguments", "enableEmbeddedAsarIntegrityValidation", "onlyLoadAppFromAsar"]);
    const wanted = Object.fromEntries(Object.entries(config.electronFuses as Record<keyof typeof FUSES, boolean>).map(([name, on]) => [FUSES[name as keyof typeof FUSES], on]));
    await flipFuses(binary, { version: FuseVersion.V1, ...wanted });
    expect(await wrongFuses(binary)).toEqual([]);
    writeFileSync(binary, "no program of Electron's");
    await expect(wrongFuses(binary)).rejects.toThrow("sentinel");
    rmSync(path.dirname(binary), { recursive: true });
  });

  it("unpacks what is loaded as a native library", () => {
    for (const name of ["sharp", "@img", "better-sqlite3"]) {
      expect(config.asarUnpack).toContain(`**/node_modules/${name}/**`);
      expect(existsSync(path.join(root, "node_modules", name)), name).toBe(true);
    }
  });
});

it("every shipped package states its licence", () => {
  const licences = licencesOfDependencies();
  expect(licences.map(({ name }) => name)).toEqual(expect.arrayContaining(["sharp", "hono", "react", "jsqr", "chart.js"]));
  expect(licences.map(({ name }) => name)).not.toContain("vitest");
  expect(licences.filter(({ licence, text }) => licence === "see text" && text === "")).toEqual([]);
});
