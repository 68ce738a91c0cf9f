import { createHash } from "node:crypto";
import { createReadStream, createWriteStream } from "node:fs";
import { mkdir, rename, rm, stat } from "node:fs/promises";
import { basename, join } from "node:path";
import { Readable, Transform } from "node:stream";
import { pipeline } from "node:stream/promises";
import { syncToDisk } from "../library/backup.ts";
import { explainedLater } from "../library/faults.ts";
import { AppFault } from "./fault.ts";

/** A picture's bytes, kept under the hash of its content: the same picture twice is one file. */
export interface ShelvedPicture {
  /** SHA-256 of the file's bytes, hex. */
  readonly sha256: string;
  readonly path: string;
  readonly bytes: number;
}

/** The largest file taken in, bytes. */
const LARGEST_FILE = 2 ** 31;

/** Pictures taken in by the screens, in a folder of the program's own. */
export class Shelf {
  readonly #folder: string;

  constructor(folder: string) {
    this.#folder = folder;
  }

  /**
   * Writes the stream to the shelf without holding it in memory.
   * What it returns is on the disk. @throws AppFault when the stream is empty or larger than LARGEST_FILE, LibraryFault where the disk is full;
   * nothing is kept then.
   */
  async take(body: ReadableStream<Uint8Array>, name: string, signal?: AbortSignal): Promise<ShelvedPicture> {
    const draft = join(this.#folder, `${crypto.randomUUID()}.draft`);
    try {
      await mkdir(this.#folder, { recursive: true });
      const { hash, bytes } = await explainedLater(this.#folder, () => this.#receive(body, draft, signal));
      if (bytes === 0) throw new AppFault(422, "empty-file", `"${name}" is empty.`, "Take the picture again, or copy the file again.");
      const path = join(this.#folder, hash + extensionOf(name));
      syncToDisk(draft);
      await rename(draft, path);
      return { sha256: hash, path, bytes };
    } finally {
      await rm(draft, { force: true });
    }
  }

  async #receive(body: ReadableStream<Uint8Array>, draft: string, signal?: AbortSignal) {
    const hash = createHash("sha256");
    let bytes = 0;
    const count = new Transform({
      transform(chunk: Buffer, _encoding, done) {
        bytes += chunk.length;
        hash.update(chunk);
        done(bytes > LARGEST_FILE ? new AppFault(413, "file-too-large", "The file is larger than 2 GB.", "Save the picture smaller.") : null, chunk);
      },
    });
    await pipeline(Readable.fromWeb(body as Parameters<typeof Readable.fromWeb>[0]), count, createWriteStream(draft), { signal });
    return { hash: hash.digest("hex"), bytes };
  }
}

/** Notes a picture that stays where it is (samples, a shop's own folder). */
export async function shelveInPlace(path: string): Promise<ShelvedPicture> {
  const hash = createHash("sha256");
  await pipeline(createReadStream(path), hash);
  return { sha256: hash.digest("hex"), path, bytes: (await stat(path)).size };
}

function extensionOf(name: string): string {
  const match = /\.[a-z0-9]{1,5}$/i.exec(basename(name));
  return match ? match[0].toLowerCase() : "";
}
