/**
 * A sentence by its key, with what is to be filled in. Figures are plain (decimal point, no sign) so that a screen can write them its own way;
 * `value`, `at` ("row", "sheet"), `event` and, where the shop has no words of its own, `direction` are names to be put into words.
 */
export interface Message {
  readonly key: MessageKey;
  readonly with?: Readonly<Record<string, string>>;
}

/**
 * English sentences of the advice. Causes and what to check are common practice without a source, and say so. Another
 * language is another table with the same keys.
 */
export const ENGLISH = {
  "action.correct": "The chart says that the process has moved: correct now, by the estimated shift and not by the last reading.",
  "action.wait": "The process has not moved beyond its usual scatter: leave the settings as they are.",
  "action.look": "Settings will not cure this: look for the cause.",
  "reason.shift": "{value} is {size} {unit} off (± {half}, 95 %) and the drift chart has left its limits: it began at {at} {since}.",
  "reason.drift": "{value} is {size} {unit} off by now (± {half}, 95 %) and drifting: the drift chart left its limits at {at} {since}.",
  "reason.level": "{value} has been {size} {unit} off from the start (± {half}, 95 %): the set-up itself is off, more than a quarter of the tolerance.",
  "reason.quiet": "No value's drift chart is outside its limits at the end of the run.",
  move: "Move the cut {size} {unit} {direction} as seen at the cutter ({axis} {sign}{size}).",
  "turn.counterclockwise": "Turn the cut {size} mm per metre counter-clockwise as seen at the cutter, about the datum (rotation {sign}{size}).",
  "turn.clockwise": "Turn the cut {size} mm per metre clockwise as seen at the cutter, about the datum (rotation {sign}{size}).",
  stretch: "Stretch the cut along {axis} by {size} mm per metre (scale {axis} {sign}{size}).",
  shrink: "Shrink the cut along {axis} by {size} mm per metre (scale {axis} {sign}{size}).",
  "cause.shift": "All of the cut is shifted ({value}): check the lay stops and the origin set at the cutter (common practice, no source).",
  "cause.turn": "The cut is turned: check whether sheets are loaded askew and lie against both stops (common practice, no source).",
  "cause.scale": "The print is longer or shorter than drawn ({value}): check moisture and rest time of the board, along and across the flutes, and the printer's feed (common practice, no source).",
  "cause.skew": "The cut is not square to the print: check the squareness of the printer's carriage and of the cutter's axes; no setting of the cutter undoes it (common practice, no source).",
  "cause.step": "A sudden step at {at} {since} ({value}): compare it with what was done then, such as a blade, pallet or material change, a restart or an entered correction (common practice, no source).",
  "cause.event": "A sudden step at {at} {since} ({value}), beside what was entered there ({event}): check that first, how the blade or pallet sits, or what was entered (common practice, no source).",
  "cause.drift": "A slow drift ({value}): check warming up, slipping feed or belt, a wearing blade, and humidity through the night (common practice, no source).",
  "cause.scatter": "Sheets scatter too much for the tolerance ({value}): check how sheets are laid and held, vacuum, curl and the blade's play; correcting would make it worse (common practice, no source).",
  "cause.outlier": "One mark ({value}) disagrees with the others: check it for smear, a cut through it or a stain, and print a fresh sheet (common practice, no source).",
} as const;

export type MessageKey = keyof typeof ENGLISH;

/** The sentence of a message in the language of `table`. */
export function say(message: Message, table: Readonly<Record<MessageKey, string>> = ENGLISH): string {
  return table[message.key].replace(/\{(\w+)\}/g, (whole, name: string) => message.with?.[name] ?? whole);
}
