import { describe, expect, it } from "vitest";
import { localTime } from "../../../electron/host/localTime.ts";
import { openLibrary } from "../../../electron/host/library/library.ts";
import { freshFolder, trayJob } from "../library/records.ts";

/** A moment as the clock of a shop east of Greenwich has it. */
class InBerlin extends Date {
  override getTimezoneOffset(): number {
    return -60;
  }
}

describe("local time", () => {
  it("is the shop's, without a zone", () => {
    const night = new InBerlin("2026-03-01T23:30:15.250Z");
    expect([localTime(night), localTime(night, "millisecond")]).toEqual(["2026-03-02T00:30:15", "2026-03-02T00:30:15.250"]);
  });

  it("names a run that begins by itself", async () => {
    const library = await openLibrary(freshFolder(), { now: () => new InBerlin("2026-03-01T23:30:15Z") });
    const version = await library.jobs.put(trayJob());
    const run = await library.runs.openOrStart(version.id);
    expect(run).toMatchObject({ name: "Shelf tray, 2026-03-02 00:30", startedAt: "2026-03-01T23:30:15.000Z" });
    expect((await library.runs.openOrStart(version.id)).id).toBe(run.id);
    await library.close();
  });
});
