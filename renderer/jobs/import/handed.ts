import { go } from "../../frame/useHash.ts";

/** A drawing dropped elsewhere, on its way to the import page. */
let handed: File | null = null;

/** Hands a drawing over to the import and goes there. */
export function handDrawing(file: File): void {
  handed = file;
  go("jobs", "import");
}

/** The drawing that was handed over, once. */
export function takeHanded(): File | null {
  const file = handed;
  handed = null;
  return file;
}
