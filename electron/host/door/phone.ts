import { isIP } from "node:net";
import { networkInterfaces } from "node:os";
import type { CheckRecord } from "../../../core/check/record.ts";
import type { Settings } from "../app/choices.ts";
import type { FaultBody } from "../app/fault.ts";
import { type Files, filesOf } from "./files.ts";
import { guarded, limited } from "./guard.ts";
import { secured, SECURITY_HEADERS } from "./headers.ts";
import { type Certificate, isCutOff, listen, type Patience } from "./server.ts";

const MIB = 1024 * 1024;
const MINUTE_MS = 60_000;

/** What the phone is told of a picture it has sent. */
export interface PhoneAnswer {
  readonly record: CheckRecord;
  /** How the shop writes figures. */
  readonly figures: Pick<Settings, "units" | "decimal">;
}

export interface PhoneDoorOptions {
  /** Takes one picture into the open run and measures it; an error becomes an answer by `faultOf`. */
  readonly onPicture: (body: ReadableStream<Uint8Array>, name: string, signal: AbortSignal) => Promise<PhoneAnswer>;
  /** What an error of `onPicture` is answered with. */
  readonly faultOf: (error: Error) => { readonly status: number; readonly body: FaultBody };
  /** Folder of the phone's page as built; nothing else is served. */
  readonly pageDir: string;
  /** Name or address by which phones reach this machine: one of `networkAddresses`, or the certificate's name. */
  readonly address: string;
  /** The shop's own certificate, for `address`; without it the door speaks plain HTTP. */
  readonly certificate?: Certificate;
  readonly port?: number;
  /** Largest picture, bytes (default 64 MB), and pictures per minute (default 30). */
  readonly limits?: { readonly bytes?: number; readonly perMinute?: number };
  readonly patience?: Partial<Patience>;
}

export interface PhoneDoor {
  /** What a QR code on the desk's screen says, for one phone; an earlier code that no phone has used is void then. */
  newCode(): string;
  /** How many phones have come in by a code. */
  phones(): number;
  readonly origin: string;
  /** Whether pictures travel encrypted. */
  readonly encrypted: boolean;
  close(): Promise<void>;
}

/**
 * Opens the phone door until it is closed: a port of its own that offers a page for sending pictures and nothing else.
 * It is never opened by itself. Who has not the token of the QR code gets no page and leaves nothing.
 */
export async function startPhoneDoor(options: PhoneDoorOptions): Promise<PhoneDoor> {
  const files = await filesOf(options.pageDir);
  const scheme = options.certificate ? "https" : "http";
  const originAt = (port: number) => new URL(`${scheme}://${options.address}:${port}`).origin;
  const { port, front, close } = await listen(
    // A name may stand for any of this machine's addresses; an address is listened to alone.
    { host: isIP(options.address) ? options.address : "0.0.0.0", port: options.port ?? 0, connections: 16, patience: options.patience, certificate: options.certificate },
    (taken) => pageFor(options, files, originAt(taken)),
  );
  const origin = originAt(port);
  return { newCode: () => `${origin}/join?token=${front.newToken()}`, phones: front.entered, origin, encrypted: scheme === "https", close };
}

/** This machine's IPv4 addresses in its networks, wired and wireless. */
export function networkAddresses(): string[] {
  return Object.values(networkInterfaces()).flat().flatMap((one) => (one && one.family === "IPv4" && !one.internal ? [one.address] : []));
}

// Browsers heed this one over HTTPS alone, and complain of it elsewhere; the page opens no windows.
const { "cross-origin-opener-policy": _unheeded, ...common } = SECURITY_HEADERS;

const HEADERS = {
  ...common,
  "content-security-policy":
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
  "cache-control": "no-store",
};

function pageFor({ onPicture, faultOf, limits }: PhoneDoorOptions, files: Files, origin: string) {
  const bytes = limits?.bytes ?? 64 * MIB;
  const isAllowed = rateLimit(limits?.perMinute ?? 30);
  let busy = false;

  const { door, newToken, entered } = guarded({ origin, entrance: "/join", cookie: "kerfmark-phone", spent: SPENT, refuse });
  door.post(
    "/picture",
    async (_c, next) => {
      if (busy) return fault(429, "phone-busy", "The desk is still measuring the picture before.", "Send one after the other.");
      if (!isAllowed(Date.now())) return fault(429, "phone-too-many", "That is too many pictures at once.", "Wait a minute.");
      busy = true;
      await next().finally(() => (busy = false));
    },
    limited(bytes, () => fault(413, "phone-too-large", `That picture is larger than ${Math.floor(bytes / MIB)} MB.`, "Take it with a lower setting.")),
    async (c) => {
      const { body, signal } = c.req.raw;
      if (!body || Number(c.req.header("content-length") ?? 0) === 0) return fault(422, "empty-file", "That picture is empty.", "Take it again.");
      return c.json(await onPicture(body, fileName(c.req.query("name")), signal));
    },
  );
  door.get("*", (c) => files(c.req.path));
  door.notFound(() => refuse(404, "There is nothing here."));
  door.onError((error, c) => {
    if (isCutOff(error, c.req.raw)) return new Response(null, { status: 500 });
    const { status, body } = faultOf(error);
    return Response.json(body, { status });
  });
  return { newToken, entered, fetch: async (request: Request) => secured(await door.fetch(request), HEADERS) };
}

/** In both languages, since nothing is known yet of who asks. */
const SPENT =
  "This page opens only by the code on the desk's screen, and once: ask the desk for a new code.\n" +
  "Diese Seite öffnet sich nur über den Code auf dem Bildschirm des Arbeitsplatzes, und nur einmal: dort einen neuen Code anfordern.";

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

function fault(status: number, code: string, message: string, hint: string): Response {
  return Response.json({ fault: { code, message, hint } } satisfies FaultBody, { status });
}

function refuse(status: number, sentence: string): Response {
  return new Response(`${sentence}\n`, { status, headers: { "content-type": "text/plain; charset=utf-8" } });
}
