import { type Files, filesOf } from "./files.ts";
import { guarded, limited } from "./guard.ts";
import { secured } from "./headers.ts";
import { type Patience, isCutOff, listen } from "./server.ts";

const MIB = 1024 * 1024;

export interface LoopbackOptions {
  /** The application; asked for everything below `/api/`. */
  readonly app: { fetch(request: Request): Response | Promise<Response> };
  /** Folder of the built screens. */
  readonly rendererDir: string;
  /** 0, the default, takes a free port. */
  readonly port?: number;
  /** Largest body, bytes: of a picture taken in, and of anything else. */
  readonly limits?: { readonly picture?: number; readonly other?: number };
  readonly patience?: Partial<Patience>;
}

export interface Door {
  /** Opens the screens in a browser, once: the token in it is spent by its first use. */
  readonly url: string;
  readonly origin: string;
  close(): Promise<void>;
}

/**
 * The loopback door: the application and its screens for a browser on this machine. Whoever else can reach the port
 * (other users, other pages in the same browser, a name that resolves to 127.0.0.1) is turned away by one of: the
 * per-launch token, which the browser trades for a cookie no script can read; the exact Host; the Origin.
 */
export async function startLoopbackDoor(options: LoopbackOptions): Promise<Door> {
  const files = await filesOf(options.rendererDir);
  const { port, front, close } = await listen({ host: "127.0.0.1", port: options.port ?? 0, patience: options.patience }, (taken) =>
    screensFor({ ...options, files, origin: `http://127.0.0.1:${taken}` }),
  );
  const origin = `http://127.0.0.1:${port}`;
  return { url: `${origin}/open?token=${front.newToken()}`, origin, close };
}

interface Inside extends LoopbackOptions {
  readonly files: Files;
  readonly origin: string;
}

function screensFor({ app, files, origin, limits }: Inside) {
  // Browsers send a cookie to every port of a machine: its name tells two running programs apart.
  const cookie = `kerfmark-${new URL(origin).port}`;
  const { door, newToken } = guarded({ origin, entrance: "/open", cookie, spent: SPENT, refuse });
  const picture = tooLarge(limits?.picture ?? 2048 * MIB);
  const other = tooLarge(limits?.other ?? 64 * MIB);
  door.use("/api/*", (c, next) => (c.req.path === "/api/pictures" ? picture : other)(c, next));
  door.all("/api/*", (c) => app.fetch(c.req.raw));
  door.get("*", (c) => files(c.req.path));
  door.onError((error, c) => {
    if (!isCutOff(error, c.req.raw)) console.error(error);
    return new Response(null, { status: 500 });
  });
  return { newToken, fetch: async (request: Request) => secured(await door.fetch(request)) };
}

const SPENT = "This page can be opened only by the address that Kerfmark printed at its start, and once: start Kerfmark again for a new one.";

function tooLarge(most: number): ReturnType<typeof limited> {
  const message = `That is more than the ${Math.floor(most / MIB)} MB that can be taken in at once.`;
  return limited(most, (c) => c.json({ fault: { code: "too-large", message, hint: "Save the picture smaller or as JPEG." } }, 413));
}

function refuse(status: number, sentence: string): Response {
  return new Response(`${sentence}\n`, { status, headers: { "content-type": "text/plain; charset=utf-8" } });
}
