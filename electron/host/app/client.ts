import { hc } from "hono/client";
import type { App } from "./app.ts";

/** A client whose calls and answers have the types of the app's routes. `base` is the door's origin. */
export function createClient(base: string, fetchWith: typeof fetch = fetch) {
  return hc<App>(base, { fetch: fetchWith });
}

export type Client = ReturnType<typeof createClient>;
