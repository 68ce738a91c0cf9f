import type { Refusal, RefusalCode } from "./record.ts";

/** What to do about each kind of refusal, in one sentence. */
const HINTS: Readonly<Record<RefusalCode, string>> = {
  "image-unreadable": "Take or export the picture again as JPEG, PNG or TIFF.",
  "image-too-large": "Scan at a lower resolution, or raise the limit if the machine has the memory.",
  "too-blurred": "Hold the phone still, tap on the sheet to focus, add light, and take the picture again.",
  "marks-not-found": "Take the picture so that at least four of the job's marks are seen, uncovered and sharp, and check that it is the right job.",
  "marks-ambiguous": "Print a code on the sheet or place one mark off the symmetry of the others; until then the sheet cannot be told from its turned or mirrored self.",
  "wrong-job": "Open the job that belongs to this sheet, or check the sheet that does.",
  "cuts-not-found": "Check that the sheet has been cut with this job and that the cut lines are seen: light from the side makes them clearer.",
  "resolution-too-low": "Go closer, use the camera's full resolution, or scan at 300 dpi.",
};

/** A refusal with its standing hint, where none of its own is given. */
export function refuse(code: RefusalCode, message: string, hint = HINTS[code]): Refusal {
  return { code, message, hint };
}
