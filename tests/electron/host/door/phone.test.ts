import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { CheckRecord } from "../../../../core/check/record.ts";
import { faultOf } from "../../../../electron/host/app/fault.ts";
import { type PhoneDoor, startPhoneDoor } from "../../../../electron/host/door/phone.ts";
import { raw, sendRaw } from "./rawHttp.ts";

const pageDir = mkdtempSync(path.join(tmpdir(), "kerfmark-phone-"));
const record: CheckRecord = {
  format: "kerfmark.check/1", image: "a.jpg", job: "CARD-3", status: "refused", verdict: null, warnings: [],
  refusal: { code: "too-blurred", message: "The picture is too blurred.", hint: "Hold still." },
};
const taken: { bytes: number; name: string }[] = [];
let door: PhoneDoor;
let port: number;
let host: string;
let origin: string;
let cookie = "";
let code: URL;
let release: (() => void) | undefined;

beforeAll(async () => {
  writeFileSync(path.join(pageDir, "index.html"), "<!doctype html><title>phone</title>");
  door = await startPhoneDoor({
    address: "127.0.0.1",
    pageDir,
    faultOf,
    limits: { bytes: 2_000, perMinute: 10 },
    patience: { headers: 300, request: 1_500, silence: 300, look: 50 },
    onPicture: async (body, name) => {
      taken.push({ bytes: (await new Response(body).arrayBuffer()).byteLength, name });
      if (name === "slow.jpg") await new Promise<void>((resolve) => (release = resolve));
      return { record, figures: { units: "mm", decimal: "point" } };
    },
  });
  code = new URL(door.newCode());
  const url = new URL(door.origin);
  port = Number(url.port);
  host = url.host;
  origin = url.origin;
});

afterAll(async () => {
  await door.close();
  rmSync(pageDir, { recursive: true });
});

const get = (target: string, headers: Record<string, string> = {}) => sendRaw(port, raw(`GET ${target}`, { host, cookie, ...headers }));
const post = (target: string, body: string, headers: Record<string, string> = {}) =>
  sendRaw(port, raw(`POST ${target}`, { host, cookie, origin, "content-length": String(body.length), ...headers }, body));

describe("the phone door", () => {
  it("offers nothing without the token", async () => {
    for (const target of ["/", "/index.html", "/join", "/join?token=wrong", "/api/desk"]) expect((await get(target)).status, target).toBe(403);
    expect((await post("/picture?name=a.jpg", "x")).status).toBe(403);
    expect(taken).toEqual([]);
    expect(door.encrypted).toBe(false);
  });

  it("takes the token once", async () => {
    const target = code.pathname + code.search;
    const joined = await get(target);
    expect(joined.status).toBe(303);
    expect(joined.headers.get("set-cookie")).toMatch(/HttpOnly; SameSite=Strict/);
    cookie = (joined.headers.get("set-cookie") ?? "").split(";")[0];
    expect((await get(target)).status).toBe(403);
    expect(door.phones()).toBe(1);
  });

  it("gives a new code for the next phone; one that was never used is void then", async () => {
    const [second, third] = [new URL(door.newCode()), new URL(door.newCode())];
    expect((await get(second.pathname + second.search)).status).toBe(403);
    const joined = await get(third.pathname + third.search);
    expect(joined.headers.get("set-cookie")?.split(";")[0]).not.toBe(cookie);
    expect(door.phones()).toBe(2);
    expect((await get("/")).status).toBe(200);
  });

  it("then offers its page, under a policy that starts from nothing, and nothing else", async () => {
    const page = await get("/");
    expect(page.status).toBe(200);
    expect(page.headers.get("content-security-policy")).toMatch(/^default-src 'none'/);
    for (const target of ["/api/desk", "/api/about", "/../package.json", "/%2e%2e/package.json"]) expect((await get(target)).status, target).toBe(404);
  });

  it("hands on a picture under a plain name and gives the verdict back", async () => {
    const answer = await post(`/picture?name=${encodeURIComponent("../../a:b\u0000.jpg")}`, "x".repeat(2_000));
    expect(JSON.parse(answer.body)).toEqual({ record, figures: { units: "mm", decimal: "point" } });
    expect(taken.at(-1)).toEqual({ bytes: 2_000, name: "_.._a_b_.jpg" });
  });

  it("refuses other hosts, other pages, large and empty pictures", async () => {
    const before = taken.length;
    expect((await get("/", { host: "localhost" })).status).toBe(403);
    expect((await post("/picture", "x", { origin: "http://kerfmark.example" })).status).toBe(403);
    expect((await sendRaw(port, raw("POST /picture", { host, cookie, "content-length": "1" }, "x"))).status).toBe(403);
    expect((await post("/picture", "x".repeat(2_001))).status).toBe(413);
    expect((await post("/picture", "")).status).toBe(422);
    expect((await sendRaw(port, raw("POST /picture", { host, cookie, origin }))).status).toBe(422);
    expect((await sendRaw(port, raw("POST /picture", { host, cookie, origin, "transfer-encoding": "chunked" }, "1\r\nx\r\n0\r\n\r\n"))).status).toBe(411);
    expect(taken.length).toBe(before);
  });

  it("cuts off who stops in the middle, and is free for the next", async () => {
    const silent = raw("POST /picture", { host, cookie, origin, "content-length": "900" }, "x");
    expect((await sendRaw(port, silent)).status).not.toBe(200);
    expect((await post("/picture?name=b.jpg", "x")).status).toBe(200);
  });

  it("takes one picture at a time and so many in a minute", async () => {
    const slow = post("/picture?name=slow.jpg", "x");
    while (!release) await new Promise((resolve) => setTimeout(resolve, 10));
    expect((await post("/picture", "x")).status).toBe(429);
    release();
    expect((await slow).status).toBe(200);
    const statuses: number[] = [];
    for (let i = 0; i < 11; i++) statuses.push((await post("/picture", "x")).status);
    expect(statuses.at(-1)).toBe(429);
    expect(statuses.filter((status) => status === 200).length).toBeLessThan(11);
  });
});
