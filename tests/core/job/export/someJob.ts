import fc from "fast-check";
import type { Cut, Job, Mark } from "../../../../core/job/schema.ts";

/** Lengths to a hundredth of a millimetre. */
export const length = (low: number, high: number) => fc.integer({ min: Math.round(100 * low), max: Math.round(100 * high) }).map((v) => v / 100);

const markAt = (id: string, x: number, y: number): fc.Arbitrary<Mark> => fc.oneof(
  length(2, 12).map((diameter): Mark => ({ id, x, y, shape: "dot", diameter })),
  fc.tuple(length(4, 12), length(20, 80)).map(([outer, share]): Mark => ({ id, x, y, shape: "ring", outer, inner: Math.round(outer * share) / 100 })),
  fc.tuple(length(5, 14), length(10, 30), fc.integer({ min: -44, max: 44 })).map(([size, share, angle]): Mark => ({ id, x, y, shape: "cross", size, stroke: Math.round(size * share) / 100, ...(angle === 0 ? {} : { angle }) })),
  length(3, 14).map((diameter): Mark => ({ id, x, y, shape: "checker", diameter })),
  length(2, 12).map((size): Mark => ({ id, x, y, shape: "square", size })),
);

const toned = (marks: fc.Arbitrary<Mark>): fc.Arbitrary<Mark> => fc.tuple(marks, fc.constantFrom("dark" as const, "light" as const)).map(([mark, tone]): Mark => ({ ...mark, tone }));

/** A path of all commands, within a cell of the sheet so that no two cuts touch. */
const cutAt = (id: string, x: number, y: number): fc.Arbitrary<Cut> => fc.oneof(
  length(3, 60).map((diameter): Cut => ({ id, kind: "cut", circle: { x: x + 40, y: y + 40, diameter } })),
  fc.record({ kind: fc.constantFrom("cut" as const, "crease" as const), closed: fc.boolean(), v: fc.array(length(5, 70), { minLength: 12, maxLength: 12 }), large: fc.boolean(), sweep: fc.boolean() })
    .map(({ kind, closed, v, large, sweep }): Cut => ({
      id, kind,
      path: `M ${x + v[0]} ${y + v[1]} L ${x + v[2]} ${y + v[3]} h ${(v[4] / 10).toFixed(3)} C ${x + v[4]} ${y + v[5]} ${x + v[6]} ${y + v[7]} ${x + v[8]} ${y + v[9]} A ${v[10]} ${v[11]} 20 ${large ? 1 : 0} ${sweep ? 1 : 0} ${x + v[11]} ${y + v[10]} Q ${x + v[3]} ${y + v[2]} ${x + v[9]} ${y + v[6]}${closed ? " Z" : ""}`,
    })),
);

/** Jobs with marks of every shape in the margins and cuts of every kind, none of which touch. */
export const someJob: fc.Arbitrary<Job> = fc.tuple(length(420, 1200), length(420, 900)).chain(([width, height]) =>
  fc.record({
    marks: fc.tuple(markAt("M1", 12.5, 13), markAt("M2", width - 13.25, 14), markAt("M3", width - 12, height - 15.01), toned(markAt("M4", 13, height - 12.34)), toned(markAt("M5", width / 2, 12.5))),
    cuts: fc.tuple(cutAt("outer <1>", 120, 120), cutAt("two & three", 260, 200)),
  }).map(({ marks, cuts }): Job => ({
    format: "kerfmark.job/1", id: "TRAY-7", name: "Shelf tray & \"display\"", sheet: { width, height }, cutFrom: "print", flip: "x", marks,
    codes: [{ symbology: "qr", x: 200, y: 20, size: 18, payload: "job={job};sheet={sheet}" }],
    cuts: [...cuts, { id: "fold", kind: "crease", path: "M 60 60 L 60 400" }], state: "in-sheet", tolerance: { position: 0.5 },
  })),
);
