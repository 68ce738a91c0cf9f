/**
 * What the embedded colour profile says of the curve between samples and light; the gamut (which red is meant) hardly moves an
 * edge and is left alone. "srgb" also stands for curves close to it (Display P3 is the same, Adobe RGB within 1 %).
 * "other": the samples must be converted.
 */
export type Transfer = "srgb" | "linear" | "other";

const NEAR = 0.01;

/**
 * Reads the tone curve of an RGB or grey ICC profile (ICC.1:2022, tags rTRC, gTRC, bTRC, kTRC; types curv and para). Profiles by tables
 * only, or broken ones, are "other".
 */
export function transferOf(profile: Uint8Array): Transfer {
  const view = new DataView(profile.buffer, profile.byteOffset, profile.byteLength);
  if (view.byteLength < 132) return "other";
  const curves = ["rTRC", "gTRC", "bTRC", "kTRC"].map((tag) => curveOf(view, tag)).filter((c) => c !== undefined);
  const space = ascii(view, 16);
  if (curves.length !== (space === "RGB " ? 3 : space === "GRAY" ? 1 : -1)) return "other";
  if (curves.every((curve) => near(curve, srgb))) return "srgb";
  return curves.every((curve) => near(curve, (x) => x)) ? "linear" : "other";
}

type Curve = (x: number) => number;

function near(curve: Curve, wanted: Curve): boolean {
  for (let i = 0; i <= 16; i++) {
    if (!(Math.abs(curve(i / 16) - wanted(i / 16)) <= NEAR)) return false;
  }
  return true;
}

/** IEC 61966-2-1. */
function srgb(x: number): number {
  return x <= 0.04045 ? x / 12.92 : ((x + 0.055) / 1.055) ** 2.4;
}

function curveOf(view: DataView, tag: string): Curve | undefined {
  const count = view.getUint32(128);
  for (let i = 0; i < count && 144 + 12 * i <= view.byteLength; i++) {
    if (ascii(view, 132 + 12 * i) !== tag) continue;
    const at = view.getUint32(136 + 12 * i);
    if (at + 16 > view.byteLength) return undefined;
    const type = ascii(view, at);
    return type === "curv" ? sampledCurve(view, at) : type === "para" ? parametricCurve(view, at) : undefined;
  }
  return undefined;
}

/** Type curv: no entry is the identity, one is a gamma (u8Fixed8), more are samples over 0..1. */
function sampledCurve(view: DataView, at: number): Curve | undefined {
  const n = view.getUint32(at + 8);
  if (at + 12 + 2 * n > view.byteLength) return undefined;
  if (n === 0) return (x) => x;
  if (n === 1) return (x) => x ** (view.getUint16(at + 12) / 256);
  return (x) => {
    const i = Math.min(n - 2, Math.floor(x * (n - 1)));
    const [a, b] = [view.getUint16(at + 12 + 2 * i), view.getUint16(at + 14 + 2 * i)];
    return (a + (b - a) * (x * (n - 1) - i)) / 65535;
  };
}

/** Type para, functions 0 to 4: (a x + b)^g + e from d on, c x + f below. */
function parametricCurve(view: DataView, at: number): Curve | undefined {
  const kind = view.getUint16(at + 8);
  const count = [1, 3, 4, 5, 7][kind];
  if (count === undefined || at + 12 + 4 * count > view.byteLength) return undefined;
  const p = Array.from({ length: count }, (_, i) => view.getInt32(at + 12 + 4 * i) / 65536);
  const [g, a = 1, b = 0] = p;
  if (kind === 0) return (x) => x ** g;
  if (kind === 1) return (x) => (x >= -b / a ? (a * x + b) ** g : 0);
  if (kind === 2) return (x) => (x >= -b / a ? (a * x + b) ** g : 0) + p[3];
  const [, , , c, d, e = 0, f = 0] = p;
  return (x) => (x >= d ? (a * x + b) ** g + e : c * x + f);
}

function ascii(view: DataView, at: number): string {
  return String.fromCharCode(view.getUint8(at), view.getUint8(at + 1), view.getUint8(at + 2), view.getUint8(at + 3));
}
