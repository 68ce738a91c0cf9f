import { ToggleButton } from "react-aria-components";
import { useWords } from "../settings/useSettings.tsx";
import type { Layers } from "./drawOverlay.ts";

const ORDER = ["marks", "nominal", "found", "deviation"] as const;

/** What is drawn over the picture; each switch carries a sample of its line, so that it is the legend as well. */
export function LayerSwitches({ layers, change }: { layers: Layers; change(layers: Layers): void }) {
  const words = useWords();
  return (
    <div className="layers" role="group" aria-label={words.view.layers}>
      {ORDER.map((layer) => (
        <ToggleButton key={layer} className="layer" isSelected={layers[layer]} onChange={(on) => change({ ...layers, [layer]: on })}>
          <LineSample layer={layer} />
          {words.view[layer]}
        </ToggleButton>
      ))}
    </div>
  );
}

function LineSample({ layer }: { layer: (typeof ORDER)[number] }) {
  return (
    <svg className={`line-sample ink-${layer}`} viewBox="0 0 28 16" width="28" height="16" aria-hidden="true">
      {layer === "marks" && <><circle cx="14" cy="8" r="5" /><path d="M14 0v3M14 13v3M5 8h4M19 8h4" /></>}
      {layer === "nominal" && <path d="M1 8h26" strokeDasharray="6 4" />}
      {layer === "found" && <path d="M1 8h26" />}
      {layer === "deviation" && <path d="M1 13h26M4 13V7M10 13V5M16 13V3M22 13V5M4 7 10 5 16 3 22 5" />}
    </svg>
  );
}
