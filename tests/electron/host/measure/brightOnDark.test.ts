import { describe, expect, it } from "vitest";
import { checkSheet } from "../../../../core/check/check.ts";
import { decodePicture } from "../../../../electron/host/pictures/decode.ts";
import { drawSheet, JOB } from "./sheet.ts";

const check = async (drawing: Parameters<typeof drawSheet>[0]) => checkSheet(await decodePicture(await drawSheet(drawing).png().toBuffer()), JOB, { image: "sheet.png" }).record;

describe("slits whose own light lies between that of light and of dark print", () => {
  it("are measured where most of them are bright lines on dark print and the others dark ones on the board", async () => {
    const record = await check({ darkUpTo: 155, slit: "#767676", right: 0.2 });
    if (record.status !== "measured") throw new Error(record.refusal.message);
    expect(Math.abs(record.offset.x - 0.2)).toBeLessThan(record.offset.U);
    expect(Math.abs(record.offset.y)).toBeLessThan(record.offset.U);
    expect(record.features[0].coverage).toBeGreaterThan(0.9);
  });

  it("are not made out of the same sheet without any cut", async () => {
    const record = await check({ darkUpTo: 155, slit: "none" });
    expect(record.status === "refused" && record.refusal.code).toBe("cuts-not-found");
  });
});
