/**
 * Prints how often the intervals of a check hold the truth, and how often verdicts near the limit are wrong, over simulated sheets:
 * node tests/bench/coverage.ts [--n 500] [--kinds scan,photo,lens,profile] [--seed 1] [--bow MM] [--shape plate|corner|wave]
 * [--profile FACTOR] [--claimed FACTOR] [--plain]
 *
 * Sheets are simulated as sightings (points with noise where marks and cuts would be seen), not as pictures; what follows on them is the measurement's own code. What the
 * pixels do is in tests/bench/accuracy.ts. `--bow 0.5` bends the board, as a plate unless `--shape` says otherwise; `--profile 10` takes a profile ten times as
 * uncertain. `--claimed 0.5` states half of the uncertainties, which must show; `--plain` leaves lips out, to see the fit alone.
 */
import { parseArgs } from "node:util";
import { coverageOf, QUANTITIES, sheetsOf, type Coverage } from "./parts/coverageStudy.ts";
import { KINDS, SHAPES, type Kind } from "./parts/simulatedSheet.ts";

const { values: options } = parseArgs({
  options: {
    n: { type: "string", default: "500" }, kinds: { type: "string", default: KINDS.join() }, seed: { type: "string", default: "1" },
    bow: { type: "string", default: "0" }, shape: { type: "string", default: "plate" }, profile: { type: "string", default: "1" }, claimed: { type: "string", default: "1" }, plain: { type: "boolean", default: false },
  },
});
const n = Number(options.n);
const kinds = options.kinds.split(",").filter((k): k is Kind => KINDS.includes(k as Kind));
const shape = SHAPES.find((s) => s === options.shape);
const breach = { bow: Number(options.bow), shape, looseProfile: Number(options.profile), claimed: Number(options.claimed), plain: options.plain };
if (!(Number.isInteger(n) && n > 0 && kinds.length === options.kinds.split(",").length && Number.isInteger(Number(options.seed)) && breach.bow >= 0 && breach.claimed > 0 && breach.looseProfile > 0 && shape)) {
  console.error(`--n takes a whole number, --kinds some of ${KINDS.join()}, --bow mm, --shape one of ${SHAPES.join()}, --claimed and --profile a factor above 0.`);
  process.exit(64);
}

console.log(`${n} simulated sheets of each kind, seed ${options.seed}${breach.bow ? `, board bowed by ${breach.bow} mm (standard deviation, ${options.shape})` : ""}${breach.looseProfile === 1 ? "" : `, profile ${breach.looseProfile} times as uncertain`}${breach.claimed === 1 ? "" : `, uncertainties claimed ${breach.claimed} times`}.`);
console.log("Share of intervals value +- U (k = 2) that hold the truth; beside it the root mean square of error / u, which is 1 where U is right; median U in mm or mm/m.\n");
console.log(["kind".padEnd(8), ...QUANTITIES.map((q) => q.padStart(21))].join(""));
const all: Coverage[] = [];
const start = process.cpuUsage();
for (const kind of kinds) {
  const c = coverageOf(sheetsOf(kind, n, Number(options.seed), breach));
  all.push(c);
  console.log([kind.padEnd(8), ...QUANTITIES.map((q) => `${(100 * c.held[q]).toFixed(1)} % ${c.ratio[q].toFixed(2)} ${c.U[q].toFixed(4)}`.padStart(21))].join(""));
}
const sum = (f: (c: Coverage) => number): number => all.reduce((s, c) => s + f(c), 0);
const share = (part: number, of: number): string => `${part} of ${of} (${((100 * part) / Math.max(1, of)).toFixed(1)} %)`;
console.log(`\nAll ${sum((c) => c.sheets)} sheets: ${QUANTITIES.map((q) => `${q} ${((100 * sum((c) => c.held[q] * (c.sheets - c.lost))) / sum((c) => c.sheets - c.lost)).toFixed(1)} %`).join(", ")}; ${sum((c) => c.lost)} did not solve, ${sum((c) => c.wavy)} were said to stand up in waves.`);
console.log("Verdicts of the worst place against limits within 1.5 U of the truth:");
console.log(`  truly out among in: ${share(sum((c) => c.outAmongIn), sum((c) => c.in))}; truly in among out: ${share(sum((c) => c.inAmongOut), sum((c) => c.out))}`);
const used = process.cpuUsage(start);
console.log(`${((used.user + used.system) / 1e6).toFixed(0)} s of processor time.`);
