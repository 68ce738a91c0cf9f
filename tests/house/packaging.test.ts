import { existsSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import path from "node:path";
import { describe, expect, it } from "vitest";
import { FUSES } from "../../tools/fuses.ts";
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
