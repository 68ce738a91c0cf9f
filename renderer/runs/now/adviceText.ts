import { say, type Message, type MessageKey } from "../../../core/trend/messages.ts";
import type { AxisWords } from "../../../core/trend/advice.ts";
import type { Figures } from "../../figures/figures.ts";
import type { Words } from "../../words/words.ts";

/** A message of the advice in the reader's language, figures in the shop's unit and decimal sign, directions in the shop's words. */
export function adviceText(message: Message, words: Words, figures: Figures, axes: AxisWords | null): string {
  const { value, at, event, direction, size, half, unit, ...rest } = message.with ?? {};
  const filled: Record<string, string> = { ...rest };
  if (value !== undefined) filled.value = value in words.runs.named ? words.runs.named[value as "offsetX"] : value;
  if (at !== undefined) filled.at = words.runs.at[at as "sheet"];
  if (event !== undefined) filled.event = words.runs.events.kinds[event as "note"];
  if (direction !== undefined) filled.direction = (axes ?? words.runs.directions)[direction as keyof AxisWords];
  const inches = unit === "mm" && figures.lengthUnit !== "mm";
  const figure = (text: string): string => (inches ? figures.number(figures.fromMm(Number(text)), 4) : figures.number(Number(text), text.split(".")[1]?.length ?? 0));
  if (size !== undefined) filled.size = figure(size);
  if (half !== undefined) filled.half = figure(half);
  if (unit !== undefined) filled.unit = unit === "mm" ? figures.lengthUnit : unit;
  const text = say({ key: message.key, with: filled }, words.runs.advice);
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** Which part of the advice a message belongs to. */
export function partOf(key: MessageKey): "action" | "reason" | "move" | "cause" {
  if (key.startsWith("action.")) return "action";
  if (key.startsWith("reason.")) return "reason";
  return key.startsWith("cause.") ? "cause" : "move";
}
