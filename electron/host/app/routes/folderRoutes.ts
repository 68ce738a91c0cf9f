import { homedir } from "node:os";
import { Hono } from "hono";
import { z } from "zod";
import { AppFault } from "../fault.ts";
import { listFolders } from "../folders.ts";
import type { AppServices } from "../services.ts";
import { query } from "./valid.ts";

/** Choosing a folder: by the system's own dialog where the program has a window of its own, else from a list of the folders below the user's home. */
export function folderRoutes({ chooseFolder }: Pick<AppServices, "chooseFolder">) {
  return new Hono()
    .get("/", query(z.object({ at: z.string().max(4096).optional() })), async (c) => c.json({ dialog: chooseFolder !== undefined, ...(await listFolders(homedir(), c.req.valid("query").at)) }))
    .post("/choose", async (c) => {
      if (!chooseFolder) throw new AppFault(409, "no-dialog", "This page has no dialog of the system's.", "Choose from the list.");
      return c.json({ folder: await chooseFolder() });
    });
}
