import { type Context, Hono, type MiddlewareHandler } from "hono";
import { getCookie, setCookie } from "hono/cookie";
import { newToken, sameToken } from "./token.ts";

export interface GuardOptions {
  /** The door's own address; its host is the only one answered to, and its pages the only ones that may ask. */
  readonly origin: string;
  /** Where a token is traded for the cookie, as `/open`. */
  readonly entrance: string;
  readonly cookie: string;
  /** What somebody without a token is told. */
  readonly spent: string;
  /** Says no in the door's own form. */
  readonly refuse: (status: 403 | 405 | 411 | 413, sentence: string) => Response;
}

export interface Guard {
  /** Every request that gets past its checks goes on to the routes the door adds. */
  readonly door: Hono;
  /** A new token for the entrance; the one before it is void. Who is in already stays. */
  newToken(): string;
  /** How many have come in. */
  entered(): number;
}

const METHODS: readonly string[] = ["GET", "HEAD", "POST", "PUT", "PATCH", "DELETE"];

/**
 * What both doors check of every request, in this order: the exact Host (a name that resolves to us is not ours), the page
 * that asks, the method, that a body has a stated length, and the cookie, which only a token buys, once.
 */
export function guarded({ origin, entrance, cookie, spent, refuse }: GuardOptions): Guard {
  const { host, protocol } = new URL(origin);
  const sessions: string[] = [];
  let token: string | undefined;

  const door = new Hono();
  door.use(async (c, next) => {
    if (c.req.header("host") !== host || new URL(c.req.url).host !== host) return refuse(403, "This address is not Kerfmark's.");
    if (!isOwnPage(c.req.raw, origin)) return refuse(403, "Another page asked for this.");
    if (!METHODS.includes(c.req.method)) return refuse(405, "This is not something to be asked here.");
    // A body of unstated length could not be refused before it has come. Without either header there is no body (RFC 9112, 6.3).
    if (c.req.header("transfer-encoding") !== undefined) return refuse(411, "The length of what is sent has to be stated.");
    await next();
  });
  door.get(entrance, (c) => {
    if (token === undefined || !sameToken(c.req.query("token"), token)) return refuse(403, spent);
    token = undefined;
    const session = newToken();
    sessions.push(session);
    setCookie(c, cookie, session, { httpOnly: true, sameSite: "Strict", path: "/", secure: protocol === "https:" });
    return c.redirect("/", 303);
  });
  door.use(async (c, next) => {
    const given = getCookie(c, cookie);
    if (!sessions.some((session) => sameToken(given, session))) return refuse(403, spent);
    await next();
  });
  return { door, newToken: () => (token = newToken()), entered: () => sessions.length };
}

/** Refuses a body whose stated length is above `most` bytes; Node holds the sender to what was stated. */
export function limited(most: number, tooLarge: (c: Context) => Response): MiddlewareHandler {
  return async (c, next) => (Number(c.req.header("content-length") ?? 0) > most ? tooLarge(c) : next());
}

/**
 * A browser names the page that asks in Origin wherever it matters, and in Sec-Fetch-Site always. Changing requests must
 * name ours; reading ones may leave it out, but not name another (another port of this machine counts as the same
 * "site", so that the cookie alone would let its pages in).
 */
function isOwnPage(request: Request, origin: string): boolean {
  const from = request.headers.get("origin");
  const site = request.headers.get("sec-fetch-site");
  const reads = request.method === "GET" || request.method === "HEAD";
  if (from === null ? !reads : from !== origin) return false;
  return site === null || site === "same-origin" || site === "none";
}
