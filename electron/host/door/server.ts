import type { Server } from "node:http";
import { createServer as createSecureServer } from "node:https";
import type { AddressInfo } from "node:net";
import { createAdaptorServer } from "@hono/node-server";

export interface Patience {
  /** Until the headers are here, ms. */
  readonly headers: number;
  /** Until the whole request is here, ms. */
  readonly request: number;
  /** Longest silence in the middle of a request, ms. */
  readonly silence: number;
  /** How often the first two are looked at, ms: an idle program wakes up for this alone. */
  readonly look: number;
}

const PATIENCE: Patience = { headers: 10_000, request: 300_000, silence: 20_000, look: 5_000 };

/** What answers behind an address. */
export interface Front {
  fetch(request: Request): Response | Promise<Response>;
}

export interface Listening<F extends Front> {
  readonly port: number;
  readonly front: F;
  close(): Promise<void>;
}

/** The shop's own certificate, PEM. */
export interface Certificate {
  readonly key: string;
  readonly cert: string;
}

interface ListenOptions {
  readonly host: string;
  readonly port: number;
  readonly patience?: Partial<Patience>;
  readonly connections?: number;
  readonly certificate?: Certificate;
}

/**
 * An HTTP server that cuts off whoever is slow to ask. A request that is complete may take as long as its answer needs.
 * `make` is given the port that was taken.
 */
export async function listen<F extends Front>(options: ListenOptions, make: (port: number) => F): Promise<Listening<F>> {
  const patience = { ...PATIENCE, ...options.patience };
  let front: F | undefined;
  const server = createAdaptorServer({
    fetch: (request) => front?.fetch(request) ?? new Response(null, { status: 503 }),
    overrideGlobalObjects: false,
    ...(options.certificate ? { createServer: createSecureServer } : {}),
    serverOptions: {
      ...options.certificate,
      headersTimeout: patience.headers,
      requestTimeout: patience.request,
      connectionsCheckingInterval: patience.look,
      keepAliveTimeout: 5_000,
      maxHeaderSize: 16 * 1024,
    },
  }) as Server;
  server.maxConnections = options.connections ?? 256;
  server.on("request", (request, response) => {
    request.setTimeout(patience.silence, () => {
      if (!request.complete) request.destroy();
    });
    // Without a listener Node closes a silent connection also while its answer is being worked out. Who does not take the answer is cut off all the same.
    response.on("timeout", () => {
      if (response.headersSent) response.destroy();
    });
  });
  await new Promise<void>((resolve, reject) => {
    server.once("error", reject);
    server.listen(options.port, options.host, () => {
      server.off("error", reject);
      resolve();
    });
  });
  const { port } = server.address() as AddressInfo;
  const made = (front = make(port));
  return {
    port,
    front: made,
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve());
        server.closeAllConnections();
      }),
  };
}

/** Whether a request failed because its sender was cut off or left: nobody to answer, and no fault of ours. */
export function isCutOff(error: Error, request: Request): boolean {
  if (request.signal.aborted || /prematurely closed/.test(error.message)) return true;
  return "code" in error && ["ABORT_ERR", "ECONNRESET", "ERR_STREAM_PREMATURE_CLOSE"].includes(String(error.code));
}
