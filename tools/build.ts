/** `npm run build`: makes dist/ of the screens and of everything under Node; also before `npm pack`. */
import { buildAll } from "./building.ts";

await buildAll();
