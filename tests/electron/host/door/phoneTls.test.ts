import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { get as getPlain } from "node:http";
import { request, type RequestOptions } from "node:https";
import { tmpdir } from "node:os";
import path from "node:path";
import type { TLSSocket } from "node:tls";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { createApp, type App } from "../../../../electron/host/app/app.ts";
import type { PhoneState } from "../../../../electron/host/app/phoneStation.ts";
import { JOB } from "../measure/sheet.ts";
import { selfSigned } from "./selfSigned.ts";

const folder = mkdtempSync(path.join(tmpdir(), "kerfmark-tls-"));
const own = selfSigned(["localhost", "desk.seed.example", "127.0.0.1"]);
const refused = { format: "kerfmark.check/1", image: "a.jpg", job: JOB.id, status: "refused", verdict: null, warnings: [], refusal: { code: "too-blurred", message: "Blurred.", hint: "Hold still." } } as const;
const stopping = new AbortController();
let app: App;
let url: URL;

/** Asks over a real TLS connection, which is refused unless the certificate is the shop's own and made out to the name asked for. */
function ask(target: string, options: RequestOptions = {}, body?: string): Promise<{ status: number; headers: Record<string, unknown>; body: string; protocol: string | null }> {
  return new Promise((resolve, reject) => {
    const asking = request(new URL(target, url), { ca: own.cert, agent: false, ...options }, (answer) => {
      const protocol = (answer.socket as TLSSocket).getProtocol();
      let text = "";
      answer.setEncoding("utf8").on("data", (chunk: string) => (text += chunk)).on("end", () => resolve({ status: answer.statusCode ?? 0, headers: answer.headers, body: text, protocol }));
    });
    asking.on("error", reject).end(body);
  });
}

beforeAll(async () => {
  const phoneDir = path.join(folder, "phone");
  const certificate = path.join(folder, "desk", "certificate");
  for (const dir of [phoneDir, certificate]) mkdirSync(dir, { recursive: true });
  writeFileSync(path.join(phoneDir, "index.html"), "<!doctype html><title>phone</title>");
  writeFileSync(path.join(certificate, "cert.pem"), own.cert);
  writeFileSync(path.join(certificate, "key.pem"), own.key);
  const pool = { workers: 1, check: async () => ({ record: refused, }), sort: async () => [], preview: () => Promise.reject(new Error("not asked")), rewriteHeic: async () => undefined };
  app = createApp({ pool, dataDir: path.join(folder, "desk"), samplesDir: folder, phoneDir, version: "0.0.0-test", stopping: stopping.signal });
  await app.request("/api/desk/job", { method: "POST", body: JSON.stringify(JOB) });
});

afterAll(async () => {
  await app.request("/api/phone/close", { method: "POST" });
  rmSync(folder, { recursive: true });
});

const stateAt = async (route: string, body?: object) => (await (await app.request(`/api/phone${route}`, body && { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body) })).json()) as PhoneState;

describe("the phone door with the shop's own certificate", () => {
  it("offers the certificate's names as addresses and opens under the one that is chosen, encrypted", async () => {
    expect(await stateAt("")).toEqual({ open: false, addresses: ["localhost", "desk.seed.example", "127.0.0.1"] });
    const state = await stateAt("/open", { address: "localhost" });
    if (!state.open || !state.code) throw new Error("The door is not open.");
    url = new URL(state.code.url);
    expect([state.encrypted, url.protocol, url.hostname]).toEqual([true, "https:", "localhost"]);
  });

  it("takes a phone in by its code, and a picture, over TLS that the phone has verified", async () => {
    const joined = await ask(url.pathname + url.search);
    expect([joined.status, joined.protocol]).toEqual([303, "TLSv1.3"]);
    const [given] = joined.headers["set-cookie"] as string[];
    expect(given).toMatch(/HttpOnly; Secure; SameSite=Strict/);
    const cookie = given.split(";")[0];
    const page = await ask("/", { headers: { cookie } });
    expect([page.status, page.body]).toEqual([200, "<!doctype html><title>phone</title>"]);
    const sent = await ask("/picture?name=a.jpg", { method: "POST", headers: { cookie, origin: url.origin, "content-length": 7 } }, "picture");
    expect(sent.status).toBe(200);
    expect(JSON.parse(sent.body)).toMatchObject({ record: { refusal: { code: "too-blurred" } } });
    expect((await ask("/picture?name=a.jpg", { method: "POST", headers: { cookie, origin: url.origin.replace("https", "http"), "content-length": 7 } }, "picture")).status).toBe(403);
    expect((await ask("/", {})).status).toBe(403);
  });

  it("is not believed by a phone that does not know the certificate, nor under a name that it is not made out to", async () => {
    await expect(ask("/", { ca: selfSigned(["localhost"]).cert })).rejects.toMatchObject({ code: expect.stringMatching(/SELF_SIGNED|SIGNATURE|ISSUER/) as string });
    await expect(ask("/", { servername: "other.example", headers: { host: "other.example" } })).rejects.toMatchObject({ code: "ERR_TLS_CERT_ALTNAME_INVALID" });
  });

  it("answers nobody who speaks plain HTTP to it", async () => {
    await expect(new Promise((resolve, reject) => getPlain({ port: url.port, host: "127.0.0.1", agent: false }, resolve).on("error", reject))).rejects.toThrow();
  });
});
