import { createPrivateKey, createSign, generateKeyPairSync, randomBytes } from "node:crypto";
import { isIP } from "node:net";

/** DER (X.690): a tag, the length of what follows, and that. */
function der(tag: number, ...parts: readonly Uint8Array[]): Buffer {
  const body = Buffer.concat(parts);
  if (body.length < 128) return Buffer.concat([Buffer.from([tag, body.length]), body]);
  const length = Buffer.from(body.length.toString(16).padStart(body.length > 255 ? 4 : 2, "0"), "hex");
  return Buffer.concat([Buffer.from([tag, 0x80 | length.length]), length, body]);
}
const sequence = (...parts: readonly Uint8Array[]) => der(0x30, ...parts);
const bytes = (hex: string) => Buffer.from(hex, "hex");
const time = (at: Date) => der(0x18, Buffer.from(`${at.toISOString().replace(/[-:T]/g, "").slice(0, 14)}Z`));

/** ecdsa-with-SHA256 (RFC 5758), commonName and subjectAltName (RFC 5280). */
const SIGNATURE = sequence(der(0x06, bytes("2a8648ce3d040302")));
const COMMON_NAME = der(0x06, bytes("550403"));
const ALT_NAME = der(0x06, bytes("551d11"));

/** A self-signed certificate (RFC 5280) for names and IPv4 addresses, as a shop without an authority would make one; PEM. */
export function selfSigned(names: readonly string[]): { readonly cert: string; readonly key: string } {
  const { publicKey, privateKey } = generateKeyPairSync("ec", { namedCurve: "P-256", publicKeyEncoding: { type: "spki", format: "der" }, privateKeyEncoding: { type: "pkcs8", format: "pem" } });
  const who = sequence(der(0x31, sequence(COMMON_NAME, der(0x0c, Buffer.from(names[0])))));
  const altNames = sequence(...names.map((name) => (isIP(name) ? der(0x87, Buffer.from(name.split(".").map(Number))) : der(0x82, Buffer.from(name)))));
  const day = 24 * 3600 * 1000;
  const body = sequence(
    der(0xa0, der(0x02, Buffer.from([2]))), der(0x02, Buffer.concat([Buffer.from([1]), randomBytes(8)])), SIGNATURE, who,
    sequence(time(new Date(Date.now() - day)), time(new Date(Date.now() + day))), who, publicKey, der(0xa3, sequence(sequence(ALT_NAME, der(0x04, altNames)))),
  );
  const signature = createSign("sha256").update(body).sign(createPrivateKey(privateKey));
  const whole = sequence(body, SIGNATURE, der(0x03, Buffer.from([0]), signature));
  return { key: privateKey, cert: `-----BEGIN CERTIFICATE-----\n${whole.toString("base64").replace(/.{64}/g, "$&\n")}\n-----END CERTIFICATE-----\n` };
}
