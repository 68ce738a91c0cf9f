import { describe, expect, it } from "vitest";
import { checkSheet } from "../../../core/check/check.ts";
import { drawPicture } from "../../../core/sample/draw.ts";
import { describeRecord } from "../../../electron/cli/check/words.ts";
import { JOB, sceneOf, WITNESS_JOB } from "../../screens/fixture/sheets.ts";

describe("witnesses in a check's record", () => {
  it("say what the cut does at their place, beside what all cuts say there; a job without them has none", () => {
    // A turn about the sheet's middle: at the witness, 75 mm right of it and 50 mm up, the cut lies otherwise than in the middle.
    const picture = drawPicture(sceneOf({ job: WITNESS_JOB, seed: 4, offset: { x: 0.1, y: -0.05 }, rotation: 2 }));
    const there = { x: 0.1 - 50 * 0.002, y: -0.05 + 75 * 0.002 };
    const { record } = checkSheet(picture, WITNESS_JOB, { image: "a.png" });
    if (record.status !== "measured") throw new Error(record.refusal.message);
    const [witness] = record.witnesses ?? [];
    expect(witness).toMatchObject({ ring: "M3", hole: "M3 hole", x: 160, y: 110 });
    expect(Math.hypot((witness.offset?.x ?? NaN) - there.x, (witness.offset?.y ?? NaN) - there.y)).toBeLessThan(1.5 * (witness.offset?.U ?? 0));
    expect(Math.hypot(witness.common.x - there.x, witness.common.y - there.y)).toBeLessThan(0.04);
    expect(describeRecord(record, WITNESS_JOB)).toMatch(/witness +"M3" at x 160, y 110 mm: cut .+ right, .+ up of the print, ± 0\.0\d+ mm \(all cuts together say .+ there\)/);

    const plain = checkSheet(picture, JOB, { image: "a.png" }).record;
    expect(plain).toMatchObject({ status: "measured" });
    expect("witnesses" in plain).toBe(false);
  });
});
