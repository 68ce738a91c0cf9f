import { spawn } from "node:child_process";
import { existsSync } from "node:fs";
import path from "node:path";
import { startLoopbackDoor } from "../../host/door/loopback.ts";
import { openHost } from "../../host/host.ts";
import { defaultLibraryFolder } from "../../host/library/place.ts";
import { programFolder } from "../../host/programFolder.ts";
import { MissingFault } from "../exit.ts";
import { onLastPort } from "./lastPort.ts";

export interface DeskOptions {
  /** Open the system's browser; else the address is only printed. */
  readonly browser: boolean;
  readonly library?: string;
  readonly withSample?: boolean;
}

/** Opens the loopback door, prints its address and stays until it is told to stop (Ctrl-C). */
export async function openDesk({ browser, library = defaultLibraryFolder(), withSample }: DeskOptions): Promise<void> {
  const rendererDir = path.join(programFolder(), "dist/renderer");
  if (!existsSync(rendererDir)) throw new MissingFault("The screens have not been built.", "Run npm run build once, or npm start.");
  const host = await openHost({ library, withSample });
  try {
    const door = await onLastPort(library, (port) => startLoopbackDoor({ app: host.app, rendererDir, port }));
    process.stdout.write(`Kerfmark is at ${door.url}\nThe address works once. Stop with Ctrl-C.\n`);
    if (browser) openBrowser(door.url);
    await new Promise<void>((resolve) => {
      for (const signal of ["SIGINT", "SIGTERM", "SIGHUP"] as const) process.once(signal, () => resolve());
    });
    await door.close();
  } finally {
    await host.close();
  }
}

/** The system's own opener; where there is none, the printed address is enough. */
function openBrowser(url: string): void {
  if (process.platform === "linux" && !process.env.DISPLAY && !process.env.WAYLAND_DISPLAY) return;
  const openers: Partial<Record<NodeJS.Platform, [string, ...string[]]>> = {
    darwin: ["open", url],
    win32: ["rundll32", "url.dll,FileProtocolHandler", url],
  };
  const [command, ...args] = openers[process.platform] ?? ["xdg-open", url];
  const child = spawn(command, args, { stdio: "ignore", detached: true });
  child.on("error", () => process.stdout.write("No browser could be opened: open the address by hand.\n"));
  child.unref();
}
