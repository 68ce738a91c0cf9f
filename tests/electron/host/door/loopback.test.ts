import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { connect } from "node:net";
import { networkInterfaces, tmpdir } from "node:os";
import path from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { type Door, startLoopbackDoor } from "../../../../electron/host/door/loopback.ts";
import { raw, sendRaw } from "./rawHttp.ts";

const folder = mkdtempSync(path.join(tmpdir(), "kerfmark-door-"));
const rendererDir = path.join(folder, "renderer");
const seen: string[] = [];
let door: Door;
let port: number;
let host: string;
let cookie: string;

const app = {
  async fetch(request: Request): Promise<Response> {
    const body = await request.text();
    seen.push(`${request.method} ${new URL(request.url).pathname} ${body.length}`);
    // Longer than any silence that is borne: a picture that is hard to measure.
    if (request.url.endsWith("/api/long")) await new Promise((resolve) => setTimeout(resolve, 1_000));
    return Response.json({ bytes: body.length });
  },
};

beforeAll(async () => {
  mkdirSync(path.join(rendererDir, "assets"), { recursive: true });
  writeFileSync(path.join(rendererDir, "index.html"), "<!doctype html><title>screens</title>");
  writeFileSync(path.join(rendererDir, "assets/main.js"), "export {};");
  writeFileSync(path.join(folder, "secret.txt"), "secret");
  symlinkSync(path.join(folder, "secret.txt"), path.join(rendererDir, "link.txt"));
  symlinkSync(folder, path.join(rendererDir, "outside"));
  const patience = { headers: 300, request: 1_500, silence: 400, look: 50 };
  door = await startLoopbackDoor({ app, rendererDir, limits: { picture: 4_000, other: 1_000 }, patience });
  port = Number(new URL(door.url).port);
  host = `127.0.0.1:${port}`;
});

afterAll(async () => {
  await door.close();
  rmSync(folder, { recursive: true });
});

const get = (target: string, headers: Record<string, string> = {}) => sendRaw(port, raw(`GET ${target}`, { host, cookie, ...headers }));
const post = (target: string, body: string, headers: Record<string, string> = {}) =>
  sendRaw(port, raw(`POST ${target}`, { host, cookie, origin: door.origin, "content-length": String(body.length), ...headers }, body));

describe("the token", () => {
  it("is asked for by everything before it was given", async () => {
    for (const target of ["/", "/api/about", "/assets/main.js", "/open", "/open?token=wrong"]) {
      expect((await sendRaw(port, raw(`GET ${target}`, { host }))).status, target).toBe(403);
    }
    expect(seen).toEqual([]);
  });

  it("is traded once for a cookie that no script and no other site can use", async () => {
    const target = door.url.slice(door.origin.length);
    const first = await sendRaw(port, raw(`GET ${target}`, { host }));
    expect(first.status).toBe(303);
    expect(first.headers.get("location")).toBe("/");
    const set = first.headers.get("set-cookie") ?? "";
    expect(set).toMatch(/; HttpOnly/);
    expect(set).toMatch(/; SameSite=Strict/);
    cookie = set.split(";")[0];
    expect((await sendRaw(port, raw(`GET ${target}`, { host }))).status).toBe(403);
    expect((await get("/")).body).toContain("screens");
  });

  it("cannot be replaced by a made-up cookie", async () => {
    expect((await get("/", { cookie: `${cookie.split("=")[0]}=made-up` })).status).toBe(403);
  });
});

describe("who may ask", () => {
  it("listens on 127.0.0.1 only", async () => {
    const others = Object.values(networkInterfaces()).flat().filter((one) => one && one.family === "IPv4" && !one.internal);
    for (const other of [...others.map((one) => one?.address ?? ""), "127.0.0.2", "::1"]) {
      const reached = await new Promise((resolve) => {
        const socket = connect(port, other, () => resolve(true)).on("error", () => resolve(false));
        socket.on("connect", () => socket.destroy());
      });
      expect(reached, other).toBe(false);
    }
  });

  it("takes the exact Host and no other name of this machine", async () => {
    for (const wrong of ["localhost", `localhost:${port}`, "127.0.0.1", "127.0.0.1:1", `kerfmark.example:${port}`, `127.0.0.1.:${port}`]) {
      expect((await get("/api/about", { host: wrong })).status, wrong).not.toBe(200);
    }
    expect((await sendRaw(port, raw(`GET http://kerfmark.example/api/about`, { host, cookie }))).status).not.toBe(200);
    expect((await get("/api/about")).status).toBe(200);
  });

  it("lets only its own page change anything", async () => {
    for (const origin of ["null", "https://kerfmark.example", `http://localhost:${port}`, `http://127.0.0.1:${port + 1}`, `https://${host}`]) {
      expect((await post("/api/settings", "{}", { origin })).status, origin).toBe(403);
      expect((await get("/api/about", { origin })).status, origin).toBe(403);
    }
    expect((await sendRaw(port, raw("POST /api/settings", { host, cookie, "content-length": "2" }, "{}"))).status).toBe(403);
    expect((await post("/api/settings", "{}")).status).toBe(200);
  });

  it("turns away what the browser says another page asked for, another port of this machine included", async () => {
    for (const site of ["cross-site", "same-site"]) expect((await get("/api/about", { "sec-fetch-site": site })).status, site).toBe(403);
    expect((await get("/api/about", { "sec-fetch-site": "same-origin" })).status).toBe(200);
  });

  it("sends no CORS header and answers no preflight", async () => {
    const answer = await sendRaw(port, raw("OPTIONS /api/about", { host, cookie, origin: door.origin, "access-control-request-method": "POST" }));
    expect(answer.status).toBe(405);
    for (const one of [answer, await get("/api/about", { origin: door.origin })]) {
      expect([...one.headers.keys()].filter((name) => name.startsWith("access-control-"))).toEqual([]);
    }
  });
});

describe("files", () => {
  it("come with their type and a policy that starts from nothing", async () => {
    const answer = await get("/");
    expect(answer.headers.get("content-type")).toBe("text/html; charset=utf-8");
    const policy = answer.headers.get("content-security-policy") ?? "";
    expect(policy).toMatch(/^default-src 'none'; /);
    expect(policy).not.toMatch(/unsafe|\*|https?:/);
    expect(answer.headers.get("x-content-type-options")).toBe("nosniff");
    expect((await get("/assets/main.js")).headers.get("cache-control")).toContain("immutable");
  });

  it("outside the screens cannot be reached by any spelling", async () => {
    const spellings = ["/../secret.txt", "/assets/../../secret.txt", "/%2e%2e/secret.txt", "/..%2fsecret.txt", "/%2e%2e%2fsecret.txt", "/..%5csecret.txt",
      "/..\\secret.txt", "/%252e%252e%252fsecret.txt", "/....//secret.txt", "//secret.txt", `/${path.join(folder, "secret.txt")}`, "/%c0%ae%c0%ae/secret.txt",
      "/secret.txt%00.html", "/link.txt", "/outside/secret.txt", "/assets"];
    for (const spelling of spellings) {
      const answer = await get(spelling);
      expect(answer.status, spelling).toBeGreaterThanOrEqual(400);
      expect(answer.body, spelling).not.toBe("secret");
    }
  });
});

describe("limits", () => {
  it("hold for the stated length, per kind of request", async () => {
    expect((await post("/api/settings", "x".repeat(1_000))).status).toBe(200);
    expect((await post("/api/settings", "x".repeat(1_001))).status).toBe(413);
    expect((await post("/api/pictures?name=a.jpg", "x".repeat(4_000))).status).toBe(200);
    expect((await post("/api/pictures?name=a.jpg", "x".repeat(4_001))).status).toBe(413);
    expect((await sendRaw(port, raw("GET /", { host, cookie, padding: "x".repeat(20_000) }))).status).toBe(431);
  });

  it("ask for a stated length; a request that announces no body has none", async () => {
    const headers = { host, cookie, origin: door.origin };
    const before = seen.length;
    for (const size of [5, 1_500]) {
      const chunk = `${size.toString(16)}\r\n${"x".repeat(size)}\r\n0\r\n\r\n`;
      expect((await sendRaw(port, raw("POST /api/settings", { ...headers, "transfer-encoding": "chunked" }, chunk))).status).toBe(411);
      expect((await sendRaw(port, raw("POST /api/pictures?name=a.jpg", { ...headers, "transfer-encoding": "chunked" }, chunk))).status).toBe(411);
    }
    expect(seen.length).toBe(before);
    for (const line of ["POST /api/settings", "POST /api/pictures?name=a.jpg", "DELETE /api/settings"]) {
      expect((await sendRaw(port, raw(line, headers))).body, line).toBe('{"bytes":0}');
    }
  });

  it("cut off who does not finish the headers, stops in the middle of a body, or drips", async () => {
    const half = `POST /api/settings HTTP/1.1\r\nhost: ${host}\r\n`;
    const silent = `${half}cookie: ${cookie}\r\norigin: ${door.origin}\r\ncontent-length: 900\r\n\r\nx`;
    const before = seen.length;
    const ends = await Promise.all([sendRaw(port, half), sendRaw(port, silent), drip(silent)]);
    for (const end of ends) expect(end).not.toMatchObject({ status: 200 });
    expect(seen.length).toBe(before);
  });
});

/** Sends one byte every 100 ms until cut off. */
function drip(start: string): Promise<{ status: number }> {
  return new Promise((resolve) => {
    const socket = connect(port, "127.0.0.1", () => socket.write(start));
    const timer = setInterval(() => socket.write("x"), 100);
    let status = 0;
    socket.on("data", (data) => (status = Number(data.toString("latin1").split(" ")[1])));
    socket.on("error", () => socket.destroy());
    socket.on("close", () => {
      clearInterval(timer);
      resolve({ status });
    });
  });
}

it("an answer may take as long as it needs, however silent the connection is meanwhile", async () => {
  expect((await get("/api/long")).status).toBe(200);
  expect((await post("/api/long", "")).status).toBe(200);
  expect((await post("/api/long", "x".repeat(200))).status).toBe(200);
});
