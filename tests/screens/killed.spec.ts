import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { openLibrary } from "../../electron/host/library/library.ts";
import { chooseFile, expect, test } from "./fixture/desk.ts";
import { drop } from "./fixture/drop.ts";

const PROGRAM = fileURLToPath(new URL("../../electron/cli/kerfmark.ts", import.meta.url));
const ALL = 12;

test("a program that is killed in the middle of a batch goes on with it at the next start, and measures each sheet once", async ({ page, pictures, dataDir }) => {
  const place = join(dataDir, "shop");
  const files = await Promise.all(Array.from({ length: ALL }, async (_, i) => {
    const file = join(dataDir, `sheet-${i + 1}.jpg`);
    await writeFile(file, Buffer.concat([await readFile(pictures.good), Buffer.from(`note ${i}`)]));
    return file;
  }));
  const first = await start(place);
  await page.goto(first.address);
  await chooseFile(page, "Open a job", pictures.job);
  await expect(page.getByRole("heading", { name: "Put in a picture of a finished sheet" })).toBeVisible();
  await drop(page, files);
  await expect(page.getByRole("option", { name: /GOOD/ }).first()).toBeAttached({ timeout: 120_000 });
  await expect.poll(() => page.evaluate(async () => ((await (await fetch("/api/desk")).json()) as { pictures: unknown[] }).pictures.length)).toBe(ALL);
  await kill(first.program, "SIGKILL");

  const second = await start(place);
  await page.goto(second.address);
  await expect(page.getByRole("status").filter({ hasText: /waited when the program ended/ })).toBeVisible();
  const waiting = await page.getByRole("option").count();
  expect(waiting).toBeLessThan(ALL);
  await expect(page.getByRole("option", { name: /GOOD/ })).toHaveCount(waiting, { timeout: 120_000 });
  await kill(second.program, "SIGTERM");

  const library = await openLibrary(place);
  const [run] = await library.runs.list();
  expect(await library.checks.count(run.id)).toBe(ALL);
  await library.close();

  const third = await start(place);
  await page.goto(third.address);
  await expect(page.getByRole("option")).toHaveCount(0);
  await expect(page.getByText(/waited when the program ended/)).toBeHidden();
  await kill(third.program, "SIGTERM");
});

/** The program as a shop starts it, in a process of its own. */
async function start(library: string): Promise<{ program: ChildProcess; address: string }> {
  const program = spawn(process.execPath, [PROGRAM, "desk", "--no-browser", "--library", library], { stdio: ["ignore", "pipe", "inherit"] });
  let said = "";
  for await (const chunk of program.stdout) {
    const address = /http:\S+/.exec((said += String(chunk)))?.[0];
    if (address) return { program, address };
  }
  throw new Error(`The program gave no address: ${said}`);
}

async function kill(program: ChildProcess, signal: NodeJS.Signals): Promise<void> {
  const ended = once(program, "exit");
  program.kill(signal);
  await ended;
}
