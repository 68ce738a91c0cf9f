import { mkdir, readFile, rename, writeFile } from "node:fs/promises";
import { dirname } from "node:path";
import { DEFAULTS, type Settings, settingsSchema } from "./choices.ts";

/** The settings file: read once, written whole under a temporary name and renamed. */
export class SettingsFile {
  readonly #path: string;
  #now: Settings | undefined;

  constructor(path: string) {
    this.#path = path;
  }

  /** An unreadable or damaged file gives the defaults: settings are never worth refusing to start for. */
  async read(): Promise<Settings> {
    if (this.#now) return this.#now;
    const text = await readFile(this.#path, "utf8").catch(() => "{}");
    const parsed = settingsSchema.partial().safeParse(parseOrEmpty(text));
    this.#now = { ...DEFAULTS, ...parsed.data };
    return this.#now;
  }

  async change(part: Partial<Settings>): Promise<Settings> {
    const next = { ...(await this.read()), ...part };
    await mkdir(dirname(this.#path), { recursive: true });
    await writeFile(`${this.#path}.draft`, JSON.stringify(next, null, 2));
    await rename(`${this.#path}.draft`, this.#path);
    this.#now = next;
    return next;
  }
}

function parseOrEmpty(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return {};
  }
}
