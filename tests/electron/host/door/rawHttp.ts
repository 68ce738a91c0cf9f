import { connect, type Socket } from "node:net";

export interface RawAnswer {
  readonly status: number;
  readonly headers: ReadonlyMap<string, string>;
  readonly body: string;
}

/** Sends bytes as they are over a real socket and reads until the other side closes: what no HTTP client would let through. */
export function sendRaw(port: number, request: string, host = "127.0.0.1"): Promise<RawAnswer> {
  return new Promise((resolve, reject) => {
    const chunks: Buffer[] = [];
    const socket: Socket = connect(port, host, () => socket.write(request));
    socket.on("data", (chunk) => chunks.push(chunk));
    socket.on("error", (error: NodeJS.ErrnoException) => (error.code === "ECONNRESET" || error.code === "EPIPE" ? undefined : reject(error)));
    socket.on("close", () => resolve(parse(Buffer.concat(chunks).toString("latin1"))));
  });
}

/** A request line with headers; the connection is closed after the answer. */
export function raw(line: string, headers: Readonly<Record<string, string>>, body = ""): string {
  const all = { connection: "close", ...headers };
  return `${line} HTTP/1.1\r\n${Object.entries(all).map(([name, value]) => `${name}: ${value}\r\n`).join("")}\r\n${body}`;
}

function parse(text: string): RawAnswer {
  const end = text.indexOf("\r\n\r\n");
  const [line, ...rest] = text.slice(0, end === -1 ? undefined : end).split("\r\n");
  const headers = new Map(rest.map((entry) => [entry.slice(0, entry.indexOf(":")).toLowerCase(), entry.slice(entry.indexOf(":") + 1).trim()]));
  return { status: Number(line.split(" ")[1] ?? 0), headers, body: end === -1 ? "" : text.slice(end + 4) };
}
