import { describe, expect, it } from "vitest";
import { checkSheet } from "../../../../core/check/check.ts";
import { drawPicture } from "../../../../core/sample/draw.ts";
import { trialOf } from "../../../../core/sample/scenarios.ts";
import { encodePicture } from "../../../../electron/cli/verbs/samplePicture.ts";
import { decodePicture } from "../../../../electron/host/pictures/decode.ts";

describe("a stripped piece of which a whole side lies in its own shadow", () => {
  it("is refused: the other sides do not tell where it lies from how wide it is", async () => {
    const { scene, job, encoding } = trialOf("hard", 5, 1);
    const picture = await decodePicture(await encodePicture(drawPicture(scene), encoding));
    const { record } = checkSheet(picture, job, { image: "sheet.jpg" });
    expect(record.status === "refused" && record.refusal.message).toContain("some of their sides only");
  });
});
