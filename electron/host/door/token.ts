import { createHash, randomBytes, timingSafeEqual } from "node:crypto";

/** A secret of 256 bits, fit for a URL. */
export function newToken(): string {
  return randomBytes(32).toString("base64url");
}

/** Whether two secrets are the same, in a time that tells nothing of where they differ. */
export function sameToken(given: string | undefined, wanted: string): boolean {
  if (given === undefined) return false;
  const digest = (text: string): Buffer => createHash("sha256").update(text).digest();
  return timingSafeEqual(digest(given), digest(wanted));
}
