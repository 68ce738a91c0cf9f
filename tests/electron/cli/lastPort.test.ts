import { writeFileSync, mkdirSync } from "node:fs";
import { createServer, type Server } from "node:net";
import { join } from "node:path";
import { expect, test } from "vitest";
import { onLastPort } from "../../../electron/cli/desk/lastPort.ts";
import { freshFolder } from "../library/records.ts";

const listen = (port: number) => new Promise<{ origin: string; server: Server }>((resolve, reject) => {
  const server = createServer();
  server.once("error", reject);
  server.listen(port, "127.0.0.1", () => resolve({ server, origin: `http://127.0.0.1:${(server.address() as { port: number }).port}` }));
});
const close = ({ server }: { server: Server }) => new Promise((resolve) => server.close(resolve));

test("the door opens on the port of the last time; where it is taken or the note is no port, on another", async () => {
  const library = freshFolder();
  const first = await onLastPort(library, listen);
  await close(first);
  const second = await onLastPort(library, listen);
  expect(second.origin).toBe(first.origin);
  const third = await onLastPort(library, listen);
  expect(third.origin).not.toBe(first.origin);
  await Promise.all([close(second), close(third)]);
  mkdirSync(join(library, "desk"), { recursive: true });
  for (const note of ["", "80", "70000", "no port"]) {
    writeFileSync(join(library, "desk/port"), note);
    const asked: number[] = [];
    await close(await onLastPort(library, (port) => (asked.push(port), listen(port))));
    expect(asked).toEqual([0]);
  }
  await expect(onLastPort(library, () => Promise.reject(new Error("something else")))).rejects.toThrow("something else");
});
