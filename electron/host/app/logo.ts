import { readFile, rename, rm, writeFile, mkdir } from "node:fs/promises";
import { join } from "node:path";
import { AppFault } from "./fault.ts";

/** Longer side of the logo as kept, px: sharp on paper at the size of a title block. */
const SIDE = 800;

/** The shop's logo for reports, kept as PNG beside the settings. */
export class Logo {
  readonly #folder: string;

  constructor(folder: string) {
    this.#folder = folder;
  }

  /** The PNG, or undefined where the shop has given none. */
  async read(): Promise<Buffer | undefined> {
    return readFile(this.#path()).catch((error: NodeJS.ErrnoException) => {
      if (error.code === "ENOENT") return undefined;
      throw error;
    });
  }

  /** Takes any picture as the logo, on white, no larger than reports need. @throws AppFault */
  async put(bytes: Uint8Array): Promise<void> {
    const { default: sharp } = await import("sharp");
    const png = await sharp(bytes, { limitInputPixels: 50e6 }).autoOrient().resize({ width: SIDE, height: SIDE, fit: "inside", withoutEnlargement: true })
      .flatten({ background: "#ffffff" }).png().toBuffer().catch(() => {
        throw new AppFault(422, "logo-unreadable", "This file cannot be used as a logo.", "Save the logo as PNG or JPEG.");
      });
    await mkdir(this.#folder, { recursive: true });
    await writeFile(`${this.#path()}.draft`, png);
    await rename(`${this.#path()}.draft`, this.#path());
  }

  async remove(): Promise<void> {
    await rm(this.#path(), { force: true });
  }

  #path(): string {
    return join(this.#folder, "logo.png");
  }
}
