import type { Files } from "../host/door/files.ts";
import { secured } from "../host/door/headers.ts";

/** The scheme under which the window sees the program. No port is opened. */
export const SCHEME = "kerfmark";
export const ORIGIN = `${SCHEME}://desk`;

/** Answers the window's requests: the application below /api/, the built screens elsewhere. Only our own page may ask. */
export function schemeHandler(app: { fetch(request: Request): Response | Promise<Response> }, files: Files): (request: Request) => Promise<Response> {
  return async (request) => {
    const url = new URL(request.url);
    const from = request.headers.get("origin");
    if (url.host !== "desk" || (from !== null && from !== ORIGIN)) return secured(new Response("Not for this page.\n", { status: 403 }));
    return secured(url.pathname.startsWith("/api/") ? await app.fetch(request) : await files(url.pathname));
  };
}

/** Whether an address is a page of ours, by its parsed scheme and host. */
export function isOurs(address: string): boolean {
  const url = URL.parse(address);
  return url !== null && url.protocol === `${SCHEME}:` && url.host === "desk";
}
