import { Hono } from "hono";
import { bodyLimit } from "hono/body-limit";
import { getCookie, setCookie } from "hono/cookie";
import { filesOf } from "./files.ts";
import { secured } from "./headers.ts";
import { type Patience, isCutOff, listen } from "./server.ts";
import { newToken, sameToken } from "./token.ts";

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
  const token = newToken();
  const server = await listen({ host: "127.0.0.1", port: options.port ?? 0, patience: options.patience }, (port) =>
    doorApp({ ...options, files, token, port }),
  );
  const origin = `http://127.0.0.1:${server.port}`;
  return { url: `${origin}/open?token=${token}`, origin, close: server.close };
}

interface Inside extends LoopbackOptions {
  readonly files: Awaited<ReturnType<typeof filesOf>>;
  readonly token: string;
  readonly port: number;
}

function doorApp({ app, files, token, port, limits }: Inside): (request: Request) => Promise<Response> {
  const host = `127.0.0.1:${port}`;
  const origin = `http://${host}`;
  // Browsers send a cookie to every port of a machine: the name tells two running programs apart.
  const cookie = `kerfmark-${port}`;
  const session = newToken();
  let spent = false;

  const door = new Hono();
  door.use(async (c, next) => {
    if (c.req.header("host") !== host || new URL(c.req.url).host !== host) return refuse("This address is not Kerfmark's.");
    if (!isOurPage(c.req.raw, origin)) return refuse("Another page asked for this.");
    if (!["GET", "HEAD", "POST", "PUT", "PATCH", "DELETE"].includes(c.req.method)) return new Response(null, { status: 405 });
    await next();
  });
  door.get("/open", (c) => {
    if (spent || !sameToken(c.req.query("token"), token)) return refuse(SPENT);
    spent = true;
    setCookie(c, cookie, session, { httpOnly: true, sameSite: "Strict", path: "/" });
    return c.redirect("/", 303);
  });
  door.use(async (c, next) => {
    if (!sameToken(getCookie(c, cookie), session)) return refuse(SPENT);
    await next();
  });
  door.use("/api/pictures", limit(limits?.picture ?? 2048 * MIB));
  door.use("/api/*", async (c, next) => (c.req.path === "/api/pictures" ? next() : limit(limits?.other ?? 64 * MIB)(c, next)));
  door.all("/api/*", (c) => app.fetch(c.req.raw));
  door.get("*", (c) => files(c.req.path));
  door.onError((error, c) => {
    if (!isCutOff(error, c.req.raw)) console.error(error);
    return new Response(null, { status: 500 });
  });
  return async (request) => secured(await door.fetch(request));
}

const SPENT = "This page can be opened only by the address that Kerfmark printed at its start, and once: start Kerfmark again for a new one.";

/**
 * A browser names the page that asks in Origin wherever it matters, and in Sec-Fetch-Site always. Changing requests must
 * name ours; reading ones may leave it out, but not name another (another port of this machine counts as the same
 * "site", so that the cookie alone would let its pages in).
 */
function isOurPage(request: Request, origin: string): boolean {
  const from = request.headers.get("origin");
  const site = request.headers.get("sec-fetch-site");
  const reads = request.method === "GET" || request.method === "HEAD";
  if (from === null ? !reads : from !== origin) return false;
  return site === null || site === "same-origin" || site === "none";
}

function limit(maxSize: number): ReturnType<typeof bodyLimit> {
  const megabytes = Math.floor(maxSize / MIB);
  const message = `That is more than the ${megabytes} MB that can be taken in at once.`;
  return bodyLimit({
    maxSize,
    onError: (c) => c.json({ fault: { code: "too-large", message, hint: "Save the picture smaller or as JPEG." } }, 413),
  });
}

function refuse(sentence: string): Response {
  return new Response(`${sentence}\n`, { status: 403, headers: { "content-type": "text/plain; charset=utf-8" } });
}
