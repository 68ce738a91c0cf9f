/** What is worked out of a run's checks. In one place, so that the routes can load it when somebody asks: it is a fifth of what the program is made of. */
export { adviceOfRun } from "./adviceOfRun.ts";
export { asideOfRun } from "./asideOfRun.ts";
export { chartsOfRun } from "./chartsOfRun.ts";
export { samplingOfRun } from "./samplingOfRun.ts";
export { wearOfRun } from "./wear.ts";
