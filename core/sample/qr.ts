/// <reference path="./qrcodeCore.d.ts" />
import qrcode from "qrcode/lib/core/qrcode.js";
import { writePayload } from "../codes/payload.ts";
import type { Code } from "../job/schema.ts";
import type { InkShape } from "./ink.ts";

/** The printed modules of a job's QR code on one sheet (ISO/IEC 18004, error correction M). */
export function qrShape(code: Code, job: string, sheet: string): InkShape {
  const { size, data } = qrcode.create(writePayload(code.payload, { job, sheet }), { errorCorrectionLevel: "M" }).modules;
  return { kind: "modules", x: code.x, y: code.y, size: code.size, count: size, dark: Uint8Array.from(data, (v) => (v ? 1 : 0)) };
}
