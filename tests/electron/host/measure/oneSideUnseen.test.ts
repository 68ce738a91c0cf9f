import { describe, expect, it } from "vitest";
import { checkSheet } from "../../../../core/check/check.ts";
import type { CheckRecord } from "../../../../core/check/record.ts";
import type { Picture } from "../../../../core/image/picture.ts";
import { flattenCut } from "../../../../core/job/paths.ts";
import { walk } from "../../../../core/job/walk.ts";
import { drawPicture } from "../../../../core/sample/draw.ts";
import { framedArea } from "../../../../core/sample/framing.ts";
import { imagingOf } from "../../../../core/sample/imaging.ts";
import { forward } from "../../../../core/sample/layerMap.ts";
import { randomOf } from "../../../../core/sample/random.ts";
import { trialOf } from "../../../../core/sample/scenarios.ts";
import type { Scene } from "../../../../core/sample/scene.ts";
import { encodePicture } from "../../../../electron/cli/verbs/samplePicture.ts";
import { decodePicture } from "../../../../electron/host/pictures/decode.ts";

const GREY = 90;
const NOISE = 4;
/** Half the width of what is laid over a side, px. */
const HIDES = 60;

/** The picture with grey tape laid over the sides of its cuts that face up the print. */
function withoutTop(picture: Picture, scene: Scene): Picture {
  const data = picture.data.slice();
  const random = randomOf(2);
  const imaging = imagingOf(scene.imaging, framedArea(scene.job));
  for (const { x, y, ny } of scene.job.cuts.filter(({ kind }) => kind === "cut").flatMap((cut) => flattenCut(cut).flatMap((subpath) => walk(subpath, 1)))) {
    if (ny < 0.5) continue;
    const board = forward(scene.print, x, y);
    const at = imaging.toPicture(board.x, board.y);
    const [left, right] = [at.x - HIDES, at.x + HIDES].map((v) => Math.max(0, Math.min(picture.width - 1, Math.round(v))));
    for (let row = Math.max(0, Math.round(at.y) - HIDES); row <= Math.min(picture.height - 1, Math.round(at.y) + HIDES); row++) {
      for (let i = picture.channels * (row * picture.width + left); i < picture.channels * (row * picture.width + right + 1); i++) data[i] = GREY + NOISE * random.normal();
    }
  }
  return { ...picture, data };
}

describe("a stripped piece of which a whole side is not seen", () => {
  it("is refused: the other sides do not tell where it lies from how wide it is; seen all round it is measured", async () => {
    const { scene, job, encoding } = trialOf("hard", 5, 1);
    const picture = await decodePicture(await encodePicture(drawPicture(scene), encoding));
    const recordOf = (of: Picture): CheckRecord => checkSheet(of, job, { image: "sheet.jpg" }).record;
    expect(recordOf(picture).status).toBe("measured");
    const hidden = recordOf(withoutTop(picture, scene));
    expect(hidden.status === "refused" && hidden.refusal.code).toBe("cuts-not-found");
  });
});
