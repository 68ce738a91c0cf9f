import { describe, expect, it } from "vitest";
import { GERMAN_NAMES, GERMAN_SENTENCES } from "../../../../core/check/report/german.ts";
import { translated } from "../../../../core/check/report/translate.ts";
import { unseenPieces } from "../../../../core/check/report/unseen.ts";
import type { TracedPath } from "../../../../core/cuts/trace.ts";
import { chunkWith } from "../../cuts/profile.ts";

/** A path of 5 mm chunks; those for which `hidden` holds were not found. */
function pathOf(count: number, closed: boolean, hidden: (k: number) => boolean, missing: (k: number) => boolean = () => false): TracedPath {
  const chunks = Array.from({ length: count }, (_, k) => ({ chunk: chunkWith({ at: 0, width: 0.2, depth: 0.4 }, 5 * k + 2.5), found: !hidden(k), missing: missing(k), t: 0, sigma: 0.01, bias: 0, significance: 20, share: -0.5 }));
  return { feature: "blank", kind: "cut", look: "line", closed, away: 0, length: 5 * count, chunks, width: 0.2 };
}

describe("pieces of a cut that are not seen", () => {
  it("are told where a knife could have left its path there and come back", () => {
    expect(unseenPieces([pathOf(40, false, (k) => k >= 10 && k < 16)])).toEqual([{ feature: "blank", length: 30, x: 0, y: 67.5, mayHaveLeft: false }]);
    expect(unseenPieces([pathOf(40, false, (k) => k % 4 === 0)])).toEqual([]);
  });

  it("go on across the start of a closed path", () => {
    expect(unseenPieces([pathOf(40, true, (k) => k < 3 || k > 37)]).map((u) => u.length)).toEqual([25]);
    expect(unseenPieces([pathOf(40, false, (k) => k < 3 || k > 37)])).toEqual([]);
  });

  it("are told apart where the cut would show in most of them", () => {
    const leftOf = (missing: (k: number) => boolean): boolean[] => unseenPieces([pathOf(40, false, (k) => k >= 10 && k < 16, missing)]).map((u) => u.mayHaveLeft);
    expect(leftOf((k) => k >= 12 && k < 15)).toEqual([true]);
    expect(leftOf((k) => k >= 12 && k < 14)).toEqual([false]);
  });

  it("are told apart where the cut leads away from its path into them", () => {
    const leadsAt = (astray: number, hidden: (k: number) => boolean, closed = false): boolean[] => {
      const path = pathOf(40, closed, hidden);
      return unseenPieces([{ ...path, chunks: path.chunks.map((c, k) => ({ ...c, astray: k === astray })) }]).map((u) => u.mayHaveLeft);
    };
    const middle = (k: number): boolean => k >= 10 && k < 16;
    for (const k of [9, 12, 16]) expect(leadsAt(k, middle)).toEqual([true]);
    for (const k of [8, 17]) expect(leadsAt(k, middle)).toEqual([false]);
    expect(leadsAt(3, (k) => k < 3 || k > 37, true)).toEqual([true]);
    expect(leadsAt(39, (k) => k < 5)).toEqual([false]);
  });

  it("are all of a short slit that would show in its place, and none where print may hide it", () => {
    const dash = (missing: (k: number) => boolean): TracedPath => ({ ...pathOf(3, false, () => true, missing), feature: "perforation" });
    expect(unseenPieces([dash((k) => k > 0)])).toEqual([{ feature: "perforation", length: 15, x: 0, y: 7.5, mayHaveLeft: true }]);
    expect(unseenPieces([dash((k) => k > 1)])).toEqual([]);
  });

  it("are none of a crease", () => {
    expect(unseenPieces([{ ...pathOf(40, false, (k) => k < 9), kind: "crease" }])).toEqual([]);
  });

  it("are told in German too", () => {
    const left = 'Of "P7" 32 mm in one piece were not seen, near x 286, y -3 mm, and the knife may have left its path there: the sheet is unsure at best. Look at it.';
    expect(translated(left, GERMAN_SENTENCES, GERMAN_NAMES)).toBe("Von „P7“ waren 32 mm am Stück nicht zu sehen, bei x 286, y -3 mm, und das Messer kann dort seinen Weg verlassen haben: der Bogen ist bestenfalls unsicher. Dort nachsehen.");
    const said = 'Of "P7" 32 mm in one piece were not seen, near x 286, y -3 mm: the worst place may lie there. Look at it.';
    expect(translated(said, GERMAN_SENTENCES, GERMAN_NAMES)).toBe("Von „P7“ waren 32 mm am Stück nicht zu sehen, bei x 286, y -3 mm: die schlechteste Stelle kann dort liegen. Dort nachsehen.");
  });
});
