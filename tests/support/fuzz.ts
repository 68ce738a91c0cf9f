import fc from "fast-check";

/** `npm run fuzz` asks for that many times the cases of a usual run, with a seed of the day instead of the fixed one. */
const times = Number(process.env.KERFMARK_FUZZ ?? 1);
fc.configureGlobal(times > 1 ? { numRuns: 100 * times } : { seed: 20_260_101 });
