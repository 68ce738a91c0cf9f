import type { Correction } from "../../../core/check/record.ts";
import { useShop } from "../../settings/useSettings.tsx";
import { CORRECTED, isLength } from "./eventFrom.ts";
import { Field } from "./Field.tsx";

/** What was corrected at the cutter, with the figures that are advised where there are any. */
export function CorrectionFields({ advised }: { advised: Pick<Correction, (typeof CORRECTED)[number]> | null }) {
  const { words, figures } = useShop();
  const labels = {
    x: `X (${figures.lengthUnit})`, y: `Y (${figures.lengthUnit})`, rotation: `${words.values.rotation} (mm/m)`, scaleX: `${words.values.scaleX} (mm/m)`, scaleY: `${words.values.scaleY} (mm/m)`,
  };
  return CORRECTED.map((key) => {
    const v = advised?.[key] ?? 0;
    return <Field key={key} name={key} label={labels[key]} value={v === 0 ? "" : isLength(key) ? figures.length(v, true) : figures.rate(v, true)} numeric />;
  });
}
