import type { Figures } from "../../figures/figures.ts";
import type { Words } from "../../words/words.ts";
import type { Event } from "../runData.ts";

/** What an event says beside its kind, with a leading colon; empty where it says no more. */
export function eventText(event: Event, words: Words, figures: Figures, toolNames: ReadonlyMap<number, string>): string {
  switch (event.kind) {
    case "tool-changed":
      return event.toolId === null ? "" : `: ${toolNames.get(event.toolId) ?? event.toolId}`;
    case "material-lot":
      return `: ${event.detail.lot}`;
    case "humidity":
      return `: ${figures.number(event.detail.percent, 0)} %`;
    case "correction": {
      const { x, y, rotation, scaleX, scaleY } = event.detail;
      const length = (name: string, v: number | undefined) => (v ? [`${name} ${figures.length(v, true)} ${figures.lengthUnit}`] : []);
      const rate = (name: string, v: number | undefined) => (v ? [`${name} ${figures.rate(v, true)} mm/m`] : []);
      const parts = [...length("X", x), ...length("Y", y), ...rate(words.values.rotation, rotation), ...rate(words.values.scaleX, scaleX), ...rate(words.values.scaleY, scaleY)];
      return parts.length > 0 ? `: ${parts.join(", ")}` : "";
    }
    default:
      return "";
  }
}
