import { beforeAll, describe, expect, it, vi } from "vitest";

let read: typeof import("../../../renderer/frame/client.ts").read;
beforeAll(async () => {
  vi.stubGlobal("location", { origin: "http://127.0.0.1" });
  ({ read } = await import("../../../renderer/frame/client.ts"));
});

const stopped = new DOMException("The user aborted a request.", "AbortError");
const answer = (ok: boolean, json: () => Promise<unknown>) => Promise.resolve({ ok, json });

describe("read", () => {
  it("gives the body of a success, an empty one too", async () => {
    expect(await read(answer(true, async () => ({ id: 1 })))).toEqual({ id: 1 });
    expect(await read(answer(true, async () => null))).toBeNull();
  });

  it("tells the host's fault, and an unexpected one where the body tells none", async () => {
    await expect(read(answer(false, async () => ({ fault: { code: "no-job", message: "No job is open.", hint: "Open one." } })))).rejects.toMatchObject({ code: "no-job", hint: "Open one." });
    await expect(read(answer(false, () => Promise.reject(new SyntaxError("no JSON"))))).rejects.toMatchObject({ code: "unexpected" });
  });

  it("leaves what was stopped stopped, before the answer or in the middle of it", async () => {
    await expect(read(Promise.reject(stopped))).rejects.toBe(stopped);
    await expect(read(answer(true, () => Promise.reject(stopped)))).rejects.toBe(stopped);
  });

  it("says that the host cannot be reached, also where the connection breaks in the middle of an answer", async () => {
    await expect(read(Promise.reject(new TypeError("failed to fetch")))).rejects.toMatchObject({ code: "offline" });
    await expect(read(answer(true, () => Promise.reject(new TypeError("network error"))))).rejects.toMatchObject({ code: "offline" });
  });
});
