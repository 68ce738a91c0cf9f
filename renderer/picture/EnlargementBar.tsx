import { Button } from "react-aria-components";
import { Icon } from "../frame/Icon.tsx";
import { useFigures, useWords } from "../settings/useSettings.tsx";
import { barLength } from "./enlargement.ts";

interface Props {
  readonly pxPerMm: number;
  readonly scale: number;
  readonly factor: number;
  step(by: 1 | -1): void;
}

/** Says how much the deviation is enlarged, with a bar as long as a round deviation is drawn. */
export function EnlargementBar({ pxPerMm, scale, factor, step }: Props) {
  const words = useWords();
  const figures = useFigures();
  // The bar is a round length in the shop's own unit.
  const perUnit = figures.toMm(1);
  const bar = barLength(pxPerMm * perUnit, scale, factor);
  const width = bar * perUnit * pxPerMm * scale * factor;
  return (
    <div className="enlargement">
      <span className="enlargement-steps">
        <Button className="square" aria-label={words.view.smaller} onPress={() => step(-1)}><Icon name="minus" /></Button>
        <Button className="square" aria-label={words.view.larger} onPress={() => step(1)}><Icon name="plus" /></Button>
      </span>
      <span className="enlargement-text">{words.view.enlarged(figures.number(factor, 0))}</span>
      <span className="enlargement-bar">
        <span className="enlargement-rule" style={{ width }} />
        <span>{words.view.bar(figures.number(bar, Math.max(0, -Math.floor(Math.log10(bar) + 1e-9))), figures.lengthUnit)}</span>
      </span>
    </div>
  );
}
