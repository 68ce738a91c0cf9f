import { describe, expect, it } from "vitest";
import { firstCut, standings, type Entry } from "../../../core/setaside/history.ts";

const run: Entry[] = [
  { kind: "check", sheet: 8, verdict: "in" }, { kind: "check", sheet: 17, verdict: "out" }, { kind: "check", sheet: 24, verdict: "in" },
];
const decide = (from: number, to: number, action: "accept" | "re-cut" | "scrap" | "concession", why = "agreed"): Entry => ({
  kind: "disposition", from, to, action, who: "M. Okoro", why,
});

describe("history of a stack", () => {
  it("keeps a re-cut sheet's neighbours suspect when it is good afterwards", () => {
    const entries: Entry[] = [...run, decide(17, 17, "re-cut"), { kind: "check", sheet: 17, verdict: "in" }];
    expect(firstCut(entries, 40).suspect).toHaveLength(2);
    const sheets = standings(entries, 40);
    expect(sheets[16]).toMatchObject({ sheet: 17, fromTop: 24, state: "clear", open: false });
    expect(sheets[15]).toMatchObject({ state: "suspect", open: true });
  });

  it("leaves a re-cut sheet open until it is checked again", () => {
    expect(standings([...run, decide(17, 17, "re-cut")], 40)[16]).toMatchObject({ state: "re-cut", open: true });
  });

  it("closes a range by one decision, and a later check opens its sheet again", () => {
    const decided = [...run, decide(9, 16, "concession", "customer agreed by letter")];
    expect(standings(decided, 40).filter((s) => s.open).map((s) => s.sheet)).toEqual([17, 18, 19, 20, 21, 22, 23]);
    const again = standings([...decided, { kind: "check", sheet: 12, verdict: "out" }], 40);
    expect(again[11]).toMatchObject({ state: "bad", open: true, disposition: null });
  });

  it("lists a sheet set aside by eye without making its neighbours suspect", () => {
    const sheets = standings([...run, { kind: "eye", sheet: 30, who: "M. Okoro", why: "torn corner" }], 40);
    expect(sheets[29]).toMatchObject({ state: "by-eye", seen: "torn corner", open: true });
    expect(sheets[28]).toMatchObject({ state: "clear", open: false });
  });
});
