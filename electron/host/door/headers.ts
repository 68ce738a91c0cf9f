/**
 * What the program's own pages may do, from nothing upwards (CSP level 3). Both doors send it. Styles and scripts come
 * from our files only; pictures also from memory (`blob:`, what the camera or a canvas made; `data:`, small icons).
 */
const CONTENT_SECURITY_POLICY = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "img-src 'self' blob: data:",
  "font-src 'self'",
  "media-src 'self' blob:",
  "connect-src 'self'",
  "worker-src 'self'",
  "manifest-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join("; ");

/** Sent with every answer of a door. No answer carries a CORS header: nobody else's page may read ours. */
export const SECURITY_HEADERS: Readonly<Record<string, string>> = {
  "content-security-policy": CONTENT_SECURITY_POLICY,
  "x-content-type-options": "nosniff",
  "x-frame-options": "DENY",
  "referrer-policy": "no-referrer",
  "cross-origin-opener-policy": "same-origin",
  "cross-origin-resource-policy": "same-origin",
  "permissions-policy": "camera=(self), microphone=(), geolocation=(), usb=(), serial=(), display-capture=()",
};

/** The answer with the security headers put in place of its own. */
export function secured(response: Response, headers: Readonly<Record<string, string>> = SECURITY_HEADERS): Response {
  const own = new Headers(response.headers);
  for (const [name, value] of Object.entries(headers)) own.set(name, value);
  return new Response(response.body, { status: response.status, statusText: response.statusText, headers: own });
}
