import { readdir, readFile } from "node:fs/promises";
import path from "node:path";

const TYPES: Readonly<Record<string, string>> = {
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".mjs": "text/javascript; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".json": "application/json; charset=utf-8",
  ".txt": "text/plain; charset=utf-8",
  ".svg": "image/svg+xml",
  ".png": "image/png",
  ".jpg": "image/jpeg",
  ".ico": "image/x-icon",
  ".woff2": "font/woff2",
  ".ttf": "font/ttf",
  ".wasm": "application/wasm",
};

export type Files = (pathname: string) => Promise<Response>;

/**
 * Serves the built screens. The folder is read once and only what was found in it can be asked for, by exactly its
 * path: nothing a request says is ever joined to a path, so that no spelling of `..` leads out. Links are left out.
 */
export async function filesOf(folder: string): Promise<Files> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  const files = new Map<string, string>();
  for (const entry of entries) {
    if (!entry.isFile()) continue;
    const file = path.join(entry.parentPath, entry.name);
    files.set(`/${path.relative(folder, file).split(path.sep).join("/")}`, file);
  }
  return async (pathname) => {
    const name = pathname === "/" ? "/index.html" : pathname;
    const file = files.get(name);
    if (!file) return new Response("There is nothing here.\n", { status: 404, headers: { "content-type": TYPES[".txt"] } });
    // The build names what lies in assets/ by its content; everything else may change with the next build.
    const cache = name.startsWith("/assets/") ? "private, max-age=31536000, immutable" : "no-store";
    const type = TYPES[path.extname(name)] ?? "application/octet-stream";
    return new Response(new Uint8Array(await readFile(file)), { headers: { "content-type": type, "cache-control": cache } });
  };
}
