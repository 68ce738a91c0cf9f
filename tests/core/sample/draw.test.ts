import { expect, test } from "vitest";
import type { Job } from "../../../core/job/schema.ts";
import type { Picture } from "../../../core/image/picture.ts";
import { linearTable } from "../../../core/image/light.ts";
import { drawPicture } from "../../../core/sample/draw.ts";
import { imagingOf, type CameraSetup, type ScannerSetup } from "../../../core/sample/imaging.ts";
import { INKS } from "../../../core/sample/colour.ts";
import { coverage, shapeOfMark, type Softness } from "../../../core/sample/ink.ts";
import { exact, inverse } from "../../../core/sample/layerMap.ts";
import { newWorkplace, placeTile } from "../../../core/sample/placing.ts";
import type { Scene } from "../../../core/sample/scene.ts";
import { truthOf } from "../../../core/sample/truth.ts";

const job: Job = {
  format: "kerfmark.job/1", id: "T", name: "one dot", sheet: { width: 60, height: 40 }, cutFrom: "print", flip: "x", codes: [], state: "in-sheet",
  marks: [{ id: "M1", shape: "dot", x: 22.37, y: 17.21, diameter: 8 }], cuts: [{ id: "C", kind: "cut", path: "M 40 5 L 40 35" }], tolerance: { position: 0.5 },
};

const scanned: ScannerSetup = { kind: "scanner", dpi: 150, scale: { x: 0.4, y: -0.3 }, skew: 0.2, bow: 0.02, turn: 37, mirrored: false, margin: 1 };
const photo: CameraSetup = {
  kind: "camera", width: 420, height: 320, focal: 450, principal: { x: 3, y: -2 }, lens: { k1: -0.08, k2: 0.01, p1: 0, p2: 0 }, tilt: 18, towards: 50, turn: -20, mirrored: false, fill: 0.85,
};

function sceneWith(imaging: Scene["imaging"], changes: Partial<Scene> = {}): Scene {
  const still = exact({ x: 30, y: 20 });
  return {
    job, sheet: "1", seed: 9, print: { ...still, offset: { x: 0.31, y: -0.17 }, rotation: 2 }, cut: still,
    board: { colour: [0.8, 0.8, 0.8], fibre: 0, fleck: 0, thickness: 1, edge: [0.4, 0.4, 0.4] },
    inks: [{ shape: { kind: "disc", x: 22.37, y: 17.21, radius: 4 }, colour: INKS.black, lay: "over", gain: 0.05, rough: 0 }],
    cutting: null, table: { colour: [0.1, 0.1, 0.1], grain: 0, shade: 1, shadeDepth: 0 },
    light: { exposure: 1, gradient: 0, from: 0, shadow: null, glare: null, vignette: 0 }, imaging,
    sensor: { channels: 1, blur: { x: 1, y: 1 }, shot: 0, read: 0.001, density: null }, ...changes,
  };
}

/** Centroid of what is missing from the board's light within a radius of a place, pixels. */
function centroid(picture: Picture, x: number, y: number, radius: number): { x: number; y: number } {
  const light = linearTable(picture);
  let sum = 0, sx = 0, sy = 0;
  for (let v = Math.floor(y - radius); v <= y + radius; v++) {
    for (let u = Math.floor(x - radius); u <= x + radius; u++) {
      const missing = 0.8 - light[picture.data[v * picture.width + u]];
      sum += missing;
      sx += missing * u;
      sy += missing * v;
    }
  }
  return { x: sx / sum, y: sy / sum };
}

test("a scanned dot's centroid lies where its truth says: the first pixel's centre is (0, 0)", () => {
  for (const turn of [0, 37, 90, 200]) {
    for (const mirrored of [false, true]) {
      const scene = sceneWith({ ...scanned, turn, mirrored });
      const [mark] = truthOf(scene).marks;
      const found = centroid(drawPicture(scene), mark.x, mark.y, 32);
      expect(Math.hypot(found.x - mark.x, found.y - mark.y)).toBeLessThan(0.01);
    }
  }
});

test("the truth's turn is counter-clockwise as seen, mirrored or not", () => {
  expect(truthOf(sceneWith({ ...scanned, turn: 37 })).view.turn).toBeCloseTo(37.11, 1);
  expect(truthOf(sceneWith({ ...scanned, turn: 37, mirrored: true })).view).toMatchObject({ mirrored: true });
  expect(truthOf(sceneWith({ ...photo, tilt: 0, turn: -20, lens: { k1: 0, k2: 0, p1: 0, p2: 0 } })).view.turn).toBeCloseTo(-19.9, 0);
});

test("picture to board undoes board to picture, through lens, tilt, bow and mirror", () => {
  const out = new Float64Array(2);
  for (const setup of [scanned, { ...scanned, mirrored: true }, photo, { ...photo, mirrored: true }]) {
    const imaging = imagingOf(setup, { x0: 0, y0: 0, x1: 60, y1: 40 });
    for (const [x, y] of [[0, 0], [60, 40], [13, 31], [30, 20]]) {
      const p = imaging.toPicture(x, y);
      imaging.toBoard(p.x, p.y, 0, out);
      expect(Math.hypot(out[0] - x, out[1] - y)).toBeLessThan(1e-8);
      expect(p.x > 0 && p.x < imaging.width && p.y > 0 && p.y < imaging.height).toBe(true);
    }
  }
});

test("pixels between a tile's exactly mapped points lie within 1e-5 px of where the lens puts them", () => {
  const out = new Float64Array(2);
  const wide: CameraSetup = { ...photo, width: 4000, height: 3000, focal: 3000, tilt: 25, lens: { k1: -0.12, k2: 0.02, p1: 0.001, p2: -0.001 } };
  for (const setup of [wide, { ...wide, lens: { ...wide.lens, k1: 0.12 }, mirrored: true }, { ...scanned, dpi: 300 }]) {
    const scene = sceneWith(setup);
    const imaging = imagingOf(setup, { x0: 0, y0: 0, x1: 60, y1: 40 });
    const on = newWorkplace(1);
    for (const [u, v] of [[0, 0], [imaging.width - 64, imaging.height - 32], [Math.floor(imaging.width / 2), 0]]) {
      const tile = placeTile(scene, imaging, on, u, v, 64, 32);
      for (let i = 0; i < tile.count; i += 7) {
        imaging.toBoard(u + (i % 64), v + Math.floor(i / 64), 0, out);
        const seen = imaging.toPicture(tile.X[i], tile.Y[i]);
        expect(Math.hypot(seen.x - u - (i % 64), seen.y - v - Math.floor(i / 64))).toBeLessThan(1e-5);
        expect(Math.hypot(out[0] - tile.X[i], out[1] - tile.Y[i])).toBeLessThan(1e-6);
        const print = inverse(scene.print, out[0], out[1]);
        expect(Math.hypot(print.x - tile.x[i], print.y - tile.y[i])).toBeLessThan(1e-6);
        expect(tile.x[i] >= tile.box.print.x0 && tile.x[i] <= tile.box.print.x1 && tile.y[i] >= tile.box.print.y0 && tile.y[i] <= tile.box.print.y1).toBe(true);
      }
    }
  }
});

test("a seed fixes the picture; another seed changes its noise", () => {
  const scene = sceneWith(photo);
  const a = drawPicture(scene);
  expect(drawPicture(scene).data).toEqual(a.data);
  expect(drawPicture({ ...scene, seed: 10 }).data).not.toEqual(a.data);
});

test("a slit's darkness is centred on the cut, whatever the pixel phase", () => {
  const cutting: Scene["cutting"] = {
    slit: 0.3, depthLight: 0, lip: 0.1, lipLight: 0, lipInside: 0, shade: 0.2, shadeDepth: 0, wander: 0, unevenness: 0, nicks: null, crease: { width: 0.5, depth: 0.1, slope: 0 },
  };
  for (const margin of [1, 1.03, 1.07, 1.12]) {
    const scene = sceneWith({ ...scanned, turn: 0, scale: { x: 0, y: 0 }, skew: 0, bow: 0, margin }, { cutting });
    const picture = drawPicture(scene);
    const where = imagingOf(scene.imaging, { x0: 0, y0: 0, x1: 60, y1: 40 }).toPicture(40, 20);
    const light = linearTable(picture);
    let sum = 0, moment = 0;
    for (let v = 80; v < 160; v++) {
      for (let u = Math.round(where.x) - 6; u <= Math.round(where.x) + 6; u++) {
        const missing = 0.8 - light[picture.data[v * picture.width + u]];
        sum += missing;
        moment += missing * u;
      }
    }
    expect(Math.abs(moment / sum - where.x)).toBeLessThan(0.02);
  }
});

test("a slit narrower than the blur is drawn aside by the shade beside it as far as the board's own light says, and no further", () => {
  const [slit, reach, depth] = [0.15, 0.2, 0.15];
  const cutting: Scene["cutting"] = {
    slit, depthLight: 0, lip: 0.1, lipLight: 0, lipInside: 1, shade: reach, shadeDepth: depth, wander: 0, unevenness: 0, nicks: null, crease: { width: 0.5, depth: 0.1, slope: 0 },
  };
  // Summed in steps of a micrometre: what is missing of the light beside the slit and in it, and its moment about the slit's middle.
  let [sum, moment] = [slit, 0];
  for (let t = slit / 2; t < 6 * reach; t += 0.001) {
    const missing = 0.001 * depth * Math.exp(-0.5 * (t / reach) ** 2);
    sum += missing;
    moment += missing * t;
  }
  const seen = [0, 0.11, 0.23].map((margin) => {
    const scene = sceneWith({ ...scanned, dpi: 75, turn: 0, scale: { x: 0, y: 0 }, skew: 0, bow: 0, margin: 1 + margin }, { cutting });
    const picture = drawPicture(scene);
    const where = imagingOf(scene.imaging, { x0: 0, y0: 0, x1: 60, y1: 40 }).toPicture(40, 20);
    const light = linearTable(picture);
    let [all, about] = [0, 0];
    for (let v = 45; v < 75; v++) {
      for (let u = Math.round(where.x) - 6; u <= Math.round(where.x) + 6; u++) {
        const missing = 0.8 - light[picture.data[v * picture.width + u]];
        all += missing;
        about += missing * (u - where.x);
      }
    }
    return Math.abs(about / all) / (75 / 25.4);
  });
  for (const aside of seen) expect(Math.abs(aside - moment / sum)).toBeLessThan(0.005);
});

test("a checker's dark quarters are the upper right and the lower left one: light ink has the other two, blurred askew alike", () => {
  const mark = { id: "M", shape: "checker", x: 10, y: 20, diameter: 8 } as const;
  const share = (light: boolean, soft: Softness, u: number, v: number) => coverage(shapeOfMark(mark, light), soft, 0, 10 + u, 20 + v);
  const sharp = { xx: 1e-4, xy: 0, yy: 1e-4 };
  for (const [u, v] of [[2, 2], [-2, -2], [2, -2], [-2, 2]]) {
    expect(share(false, sharp, u, v)).toBeCloseTo(u * v > 0 ? 1 : 0, 6);
    expect(share(true, sharp, u, v)).toBeCloseTo(u * v > 0 ? 0 : 1, 6);
  }
  expect(share(true, { xx: 0.3, xy: 0.2, yy: 0.4 }, 2.6, -2.9)).toBeCloseTo(share(false, { xx: 0.3, xy: -0.2, yy: 0.4 }, -2.6, -2.9), 12);
});
