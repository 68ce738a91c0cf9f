import { describe, expect, it } from "vitest";
import { decimalNumber, optional, wholeNumber } from "../../../electron/cli/numbers.ts";

describe("numbers after an option", () => {
  it("are taken as they are written", () => {
    expect([wholeNumber("60", "--marks", 1, 60), wholeNumber("0", "--seed", 0), decimalNumber("-0.25", "--lower"), decimalNumber("1e3", "--mpe", 0)]).toEqual([60, 0, -0.25, 1000]);
    expect([optional(undefined, (text) => wholeNumber(text, "--run")), optional("7", (text) => wholeNumber(text, "--run"))]).toEqual([undefined, 7]);
  });

  it.each(["", " ", "none", "1.5", "-3", "0x10", "61", "0"])("%j is no whole number from 1 to 60, and is told of", (text) => {
    expect(() => wholeNumber(text, "--marks", 1, 60)).toThrow(`"${text}" after --marks is not a whole number from 1 to 60.`);
  });

  it.each(["", " ", "abc", "1,5", "Infinity", "0", "3601"])("%j is no number of seconds, and is told of", (text) => {
    expect(() => decimalNumber(text, "--settle", 0, 3600)).toThrow(`"${text}" after --settle is not a number above 0 and at most 3600.`);
  });

  it("bounds that are not there are not named", () => {
    expect(() => decimalNumber("x", "--lower")).toThrow('"x" after --lower is not a number.');
    expect(() => wholeNumber("x", "--run")).toThrow('"x" after --run is not a whole number from 1 on.');
  });
});
