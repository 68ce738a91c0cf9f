import { Button } from "react-aria-components";
import { UNITS, type UnitName } from "../../../core/job/import/read.ts";
import { useShop } from "../../settings/useSettings.tsx";

const ASKED = ["mm", "cm", "inch", "m"] as const satisfies readonly UnitName[];

/** A drawing that does not say its unit: how large it would be in each is what people decide by. */
export function UnitQuestion({ width, height, answer }: { width: number; height: number; answer: (unit: UnitName) => void }) {
  const { words, figures } = useShop();
  const w = words.jobs.import;
  return (
    <section className="empty" aria-labelledby="unit-title">
      <h2 id="unit-title">{w.unitTitle}</h2>
      <p>{w.unitText}</p>
      <div className="unit-answers">
        {ASKED.map((unit) => (
          <Button key={unit} className="button" onPress={() => answer(unit)}>
            {w.unitSize(w.units[unit], figures.place(width * UNITS[unit]), figures.place(height * UNITS[unit]), figures.lengthUnit)}
          </Button>
        ))}
      </div>
    </section>
  );
}
