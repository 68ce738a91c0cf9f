import { writePayload } from "../job/payload.ts";
import { qrSymbol } from "../job/qr.ts";
import type { Code } from "../job/schema.ts";
import type { InkShape } from "./ink.ts";

/** The printed modules of a job's QR code on one sheet. */
export function qrShape(code: Code, job: string, sheet: string): InkShape {
  const symbol = qrSymbol(writePayload(code.payload, { job, sheet }));
  if (!symbol) throw new Error(`The payload of a code of ${job} is too long for a QR code.`);
  return { kind: "modules", x: code.x, y: code.y, size: code.size, count: symbol.count, dark: symbol.dark };
}
