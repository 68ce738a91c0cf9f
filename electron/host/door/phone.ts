import { networkInterfaces } from "node:os";
import { Hono } from "hono";
import { bodyLimit } from "hono/body-limit";
import { getCookie, setCookie } from "hono/cookie";
import type { Verdict } from "../../../core/check/record.ts";
import { secured, SECURITY_HEADERS } from "./headers.ts";
import { PHONE_CSS, PHONE_HTML, PHONE_JS } from "./phonePage.ts";
import { type Certificate, isCutOff, listen, type Patience } from "./server.ts";
import { newToken, sameToken } from "./token.ts";

const MIB = 1024 * 1024;
const MINUTE_MS = 60_000;

export interface PhoneAnswer {
  /** null: the sheet was refused. */
  readonly verdict: Verdict | null;
  /** One sentence for the phone: the figures, or why it was refused and what to do. */
  readonly message: string;
}

export interface PhoneDoorOptions {
  /** Takes one picture into the open run and measures it. */
  readonly onPicture: (bytes: Uint8Array, name: string) => Promise<PhoneAnswer>;
  /** Name or address by which phones reach this machine; default: its first address in the shop's network. */
  readonly address?: string;
  /** The shop's own certificate, for `address`; without it the door speaks plain HTTP. */
  readonly certificate?: Certificate;
  readonly port?: number;
  /** Largest picture, bytes (default 64 MB), and pictures per minute (default 30). */
  readonly limits?: { readonly bytes?: number; readonly perMinute?: number };
  readonly patience?: Partial<Patience>;
}

export interface PhoneDoor {
  /** What the QR code on the desk's screen says. Its token is spent by the first phone that uses it. */
  readonly url: string;
  /** Whether pictures travel encrypted. */
  readonly encrypted: boolean;
  close(): Promise<void>;
}

/**
 * Opens the phone door until it is closed: a port of its own that offers a page for sending pictures and nothing else.
 * It is never opened by itself. Who has not the token of the QR code gets no page and leaves nothing.
 */
export async function startPhoneDoor(options: PhoneDoorOptions): Promise<PhoneDoor> {
  const address = options.address ?? networkAddress();
  if (address === undefined) throw new Error("This computer is in no network that a phone could reach: connect it to the shop's network.");
  const token = newToken();
  const scheme = options.certificate ? "https" : "http";
  const { port, close } = await listen(
    { host: "0.0.0.0", port: options.port ?? 0, connections: 16, patience: options.patience, certificate: options.certificate },
    (taken) => phoneApp(options, `${scheme}://${address}:${taken}`, token),
  );
  return { url: `${scheme}://${address}:${port}/join?token=${token}`, encrypted: scheme === "https", close };
}

/** This machine's first IPv4 address in a network. */
export function networkAddress(): string | undefined {
  return Object.values(networkInterfaces()).flat().find((one) => one && one.family === "IPv4" && !one.internal)?.address;
}

const HEADERS = {
  ...SECURITY_HEADERS,
  "content-security-policy":
    "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
  "cache-control": "no-store",
};

function phoneApp({ onPicture, limits }: PhoneDoorOptions, origin: string, token: string): (request: Request) => Promise<Response> {
  const host = new URL(origin).host;
  const session = newToken();
  const bytes = limits?.bytes ?? 64 * MIB;
  const isAllowed = rateLimit(limits?.perMinute ?? 30);
  let spent = false;
  let busy = false;

  const door = new Hono();
  door.use(async (c, next) => {
    // An https origin leaves out its usual port, as browsers do in Host.
    if (c.req.header("host") !== host) return refuse(403, "This address is not Kerfmark's.");
    const from = c.req.header("origin");
    if (c.req.method === "GET" ? from !== undefined && from !== origin : from !== origin) return refuse(403, "Another page asked for this.");
    await next();
  });
  door.get("/join", (c) => {
    if (spent || !sameToken(c.req.query("token"), token)) return refuse(403, SPENT);
    spent = true;
    setCookie(c, "kerfmark-phone", session, { httpOnly: true, sameSite: "Strict", path: "/", secure: origin.startsWith("https:") });
    return c.redirect("/", 303);
  });
  door.use(async (c, next) => {
    if (!sameToken(getCookie(c, "kerfmark-phone"), session)) return refuse(403, SPENT);
    await next();
  });
  door.get("/", (c) => c.html(PHONE_HTML));
  door.get("/phone.css", (c) => c.body(PHONE_CSS, 200, { "content-type": "text/css; charset=utf-8" }));
  door.get("/phone.js", (c) => c.body(PHONE_JS, 200, { "content-type": "text/javascript; charset=utf-8" }));
  door.post(
    "/picture",
    async (_c, next) => {
      if (busy) return refuse(429, "The desk is still measuring the picture before: send one after the other.");
      if (!isAllowed(Date.now())) return refuse(429, "That is too many pictures at once: wait a minute.");
      busy = true;
      await next().finally(() => (busy = false));
    },
    bodyLimit({ maxSize: bytes, onError: () => refuse(413, `That picture is larger than ${Math.floor(bytes / MIB)} MB: take it with a lower setting.`) }),
    async (c) => {
      const picture = new Uint8Array(await c.req.arrayBuffer());
      if (picture.length === 0) return refuse(422, "That picture is empty: take it again.");
      return c.json(await onPicture(picture, fileName(c.req.query("name"))));
    },
  );
  door.notFound(() => refuse(404, "There is nothing here."));
  door.onError((error, c) => {
    if (!isCutOff(error, c.req.raw)) console.error(error);
    return refuse(500, "The desk could not take this picture: look at the desk's screen.");
  });
  return async (request) => secured(await door.fetch(request), HEADERS);
}

const SPENT = "This page opens only by the code on the desk's screen, and once: ask the desk for a new code.";

/** The name a phone gives, as a plain file name. */
function fileName(given: string | undefined): string {
  const plain = (given ?? "").normalize("NFC").replace(/[\p{Cc}\p{Cf}/\\:*?"<>|]/gu, "_").replace(/^\.+/, "").slice(-120);
  return plain || "phone.jpg";
}

/** Whether one more is allowed now, of so many within any minute. */
function rateLimit(perMinute: number): (now: number) => boolean {
  let recent: number[] = [];
  return (now) => {
    recent = recent.filter((at) => now - at < MINUTE_MS);
    if (recent.length >= perMinute) return false;
    recent.push(now);
    return true;
  };
}

function refuse(status: number, fault: string): Response {
  return Response.json({ fault }, { status });
}
