import { mkdir, readFile, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { deskFolder } from "../../host/library/place.ts";

/**
 * Runs `start` with the port of the last time, so that the browser finds in its cache what it knows of that address; where another program has taken it
 * meanwhile, or there was no last time, with any free one (0). The port that was got is noted. It is no secret: the token is.
 */
export async function onLastPort<D extends { readonly origin: string }>(library: string, start: (port: number) => Promise<D>): Promise<D> {
  const file = join(deskFolder(library), "port");
  const last = Number(await readFile(file, "utf8").catch(() => "0"));
  const door = Number.isInteger(last) && last > 1023 && last < 65_536 ? await start(last).catch(onAnyPort(start)) : await start(0);
  await mkdir(dirname(file), { recursive: true });
  await writeFile(file, new URL(door.origin).port);
  return door;
}

function onAnyPort<D>(start: (port: number) => Promise<D>): (error: NodeJS.ErrnoException) => Promise<D> {
  return (error) => {
    if (error.code === "EADDRINUSE" || error.code === "EACCES") return start(0);
    throw error;
  };
}
