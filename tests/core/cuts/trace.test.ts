import { expect, test } from "vitest";
import { traceCuts } from "../../../core/cuts/trace.ts";
import { stripGrid } from "../../../core/cuts/strips/strip.ts";
import type { Strip } from "../../../core/cuts/strips/strips.ts";
import type { Cut, Job } from "../../../core/job/schema.ts";
import { chunkWith, grid } from "./profile.ts";

const job = { state: "in-sheet" } as Job;

/** A straight path whose chunks all show `across`. */
function strip(id: string, across: Parameters<typeof chunkWith>[0]): Strip {
  const chunks = Array.from({ length: 20 }, (_, k) => chunkWith(across, 2.5 + 5 * k));
  return { cut: { id, kind: "cut" } as Cut, kind: "cut", closed: false, box: [0, 0, 0, 100], length: 100, chunks };
}

/** A faint slit in dark print that ends 2 mm beside it. */
const inDark = strip("dark", { at: 0.1, width: 0.12, depth: 0.004, ground: 0.05 });
const bleedEnds: Strip = { ...inDark, chunks: inDark.chunks.map((c) => ({ ...c, profile: c.profile.map((v, i) => v + (i * grid.step - grid.reach > 2.1 ? 0.7 : 0)) })) };
const plain = strip("plain", { at: 0.1, width: 0.12, depth: 0.4 });

test("the end of the bleed, which runs along a whole path too, is not taken for its cut where all cuts together are elsewhere", () => {
  const { paths } = traceCuts({ paths: [plain, bleedEnds], grid, blur: 0.12 }, job, null);
  for (const path of paths) {
    expect(path.look).toBe("line");
    for (const c of path.chunks) {
      expect(c.found).toBe(true);
      expect(Math.abs(c.t - 0.1)).toBeLessThan(0.03);
    }
  }
});

test("an edge where all cuts are stays one: a lost slug's", () => {
  const slug = strip("slug", { at: 0.1, width: 0.12, depth: 0, step: 0.6 });
  const { paths } = traceCuts({ paths: [plain, slug], grid, blur: 0.12 }, job, null);
  expect(paths.map((p) => p.look)).toEqual(["line", "step"]);
});

test("all dashes of a perforation are taken for the same, one beside a plain edge of the print too", () => {
  const cut = { id: "perforation", kind: "cut" } as Cut;
  const dash = (edge: number): Strip => {
    const slit = strip("perforation", { at: 0.1, width: 0.12, depth: 0.1 });
    return { ...slit, cut, length: 6, chunks: slit.chunks.slice(0, 6).map((c) => ({ ...c, profile: c.profile.map((v, i) => v - (i * grid.step - grid.reach > 0.3 ? edge : 0)) })) };
  };
  const looks = (strips: readonly Strip[]): unknown => traceCuts({ paths: strips, grid, blur: 0.12 }, job, null).paths.map((p) => p.look);
  expect(looks([dash(0), dash(0), dash(0.6), dash(0)])).toEqual(["line", "line", "line", "line"]);
  expect(looks([dash(0), { ...dash(0.6), cut: { ...cut, id: "slot" } }])).toEqual(["line", "step"]);
});

test("of a stripped piece an open cut within its outline is a slit, whose edges are the artwork's; one that lies by itself is an outline drawn open", () => {
  const piece = { state: "stripped" } as Job;
  const edge = strip("edge", { at: 0.1, width: 0.12, depth: 0, step: 0.6 });
  const outline: Strip = { ...edge, closed: true, box: [-50, -50, 50, 150] };
  // A faint slit beside an edge of the print.
  const slot = strip("slot", { at: 0.1, width: 0.12, depth: 0.05 });
  const besidePrint: Strip = { ...slot, chunks: slot.chunks.map((c) => ({ ...c, profile: c.profile.map((v, i) => v + (i * grid.step - grid.reach > 0.6 ? 0.1 : 0)) })) };
  const looks = (strips: readonly Strip[]): unknown => traceCuts({ paths: strips, grid, blur: 0.12 }, piece, null).paths.map((p) => [p.look, p.unexpected === true]);
  expect(looks([outline, besidePrint])).toEqual([["step", false], ["line", false]]);
  expect(looks([outline, edge])).toEqual([["step", false], ["step", true]]);
  expect(looks([edge])).toEqual([["step", false]]);
});

test("all slits are fitted with one width, as one blade has cut them: those of a piece that look wide with what lies beside them too", () => {
  const wide = strip("wide", { at: 0.1, width: 0.25, depth: 0.1 });
  const widths = (strips: readonly Strip[]): number[] => traceCuts({ paths: strips, grid, blur: 0.12 }, job, null).paths.map((p) => p.width);
  expect(widths([wide])[0]).toBeGreaterThan(widths([plain])[0] + 0.05);
  const [one, other] = widths([plain, wide]);
  expect(other).toBe(one);
});

test("the edge of a bleed beside all slits, plainer than they are, is what is found first; sought as lines alone they are", () => {
  const faint = (id: string): Strip => {
    const slit = strip(id, { at: 0.1, width: 0.12, depth: 0.03, ground: 0.3 });
    return { ...slit, chunks: slit.chunks.map((c) => ({ ...c, profile: c.profile.map((v, i) => v + (i * grid.step - grid.reach > 1.5 ? 0.6 : 0)) })) };
  };
  const strips = { paths: [faint("one"), faint("other")], grid, blur: 0.12 };
  expect(traceCuts(strips, job, null).paths.map((p) => p.look)).toEqual(["step", "step"]);
  for (const path of traceCuts(strips, job, null, { edges: false }).paths) {
    expect(path.look).toBe("line");
    for (const c of path.chunks) expect(Math.abs(c.t - 0.1)).toBeLessThan(0.03);
  }
});

test("a sharp edge of a lost slug that was cut aside is found where it is, and taken for no broader than it is", () => {
  const blur = 0.05;
  const fine = stripGrid(3, 12, 0);
  const at = (k: number): number => 0.35 * Math.cos((Math.PI * k) / 4 + 0.3);
  const chunks = Array.from({ length: 8 }, (_, k) => {
    const [nx, ny] = [Math.cos((Math.PI * k) / 4), Math.sin((Math.PI * k) / 4)];
    return { ...chunkWith({ at: at(k), width: blur, depth: 0, step: 0.5 }, 2 * k + 1, fine), length: 2, x: 50 + 2.5 * nx, y: 50 + 2.5 * ny, nx, ny, tx: -ny, ty: nx, curvature: 0.4 };
  });
  const slug: Strip = { cut: { id: "W1", kind: "cut", circle: { x: 50, y: 50, diameter: 5 } }, kind: "cut", closed: true, box: [47.5, 47.5, 52.5, 52.5], length: 16, chunks };
  const [path] = traceCuts({ paths: [slug], grid: fine, blur }, job, null).paths;
  expect(path.look).toBe("step");
  expect(path.width).toBeLessThan(0.08);
  path.chunks.forEach((c, k) => {
    expect(c.found).toBe(true);
    expect(Math.abs(c.t - at(k))).toBeLessThan(0.01);
  });
});

test("a witness hole whose slug has stayed in its place is a slit all round; one whose slug is lost is an edge, a shadow on one of its sides or not", () => {
  const hole = (across: (k: number) => Parameters<typeof chunkWith>[0]): Strip => ({
    ...strip("hole", across(0)), cut: { id: "hole", kind: "cut", circle: { x: 0, y: 0, diameter: 6 } } as Cut, closed: true, length: 18.8, chunks: Array.from({ length: 8 }, (_, k) => chunkWith(across(k), 2.3 * k)),
  });
  const seen = (strips: Strip): readonly [string, number] => {
    const { look, chunks } = traceCuts({ paths: [plain, strips], grid, blur: 0.12 }, job, null).paths[1];
    return [look, chunks.filter((c) => c.found && Math.abs(c.t - 0.1) < 0.03).length];
  };
  for (const depth of [0.2, 0.3, 0.5]) expect(seen(hole(() => ({ at: 0.1, width: 0.2, depth })))).toEqual(["line", 8]);
  expect(seen(hole(() => ({ at: 0.1, width: 0.12, depth: 0, step: 0.6 })))).toEqual(["step", 8]);
  expect(seen(hole((k) => ({ at: 0.1, width: 0.12, depth: k < 4 ? 0.15 : 0, step: 0.6 })))[0]).toBe("step");
});
