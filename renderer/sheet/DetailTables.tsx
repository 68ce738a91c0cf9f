import { isPoorlyFound } from "../../core/check/report/poorlyFound.ts";
import type { FeatureReport, Measured } from "../../core/check/record.ts";
import { useShop, useWords } from "../settings/useSettings.tsx";
import { useFeatureName } from "../words/useSentence.ts";

/** Each cut and crease with its own deviation. */
export function FeatureTable({ record }: { record: Measured }) {
  const words = useWords();
  const nameOf = useFeatureName();
  const v = words.values;
  return (
    <table className="figures">
      <caption className="unseen">{v.featuresTitle}</caption>
      <thead>
        <tr><th scope="col">{v.feature}</th><th scope="col">{v.mean}</th><th scope="col">{v.max}</th><th scope="col">± U</th><th scope="col">{v.coverage}</th></tr>
      </thead>
      <tbody>
        {record.features.map((feature) => (
          <tr key={feature.id}>
            <th scope="row">{nameOf(feature.id)}<small>{feature.kind === "cut" ? v.cut : v.creaseKind}</small></th>
            {feature.coverage > 0 ? <FeatureFigures feature={feature} /> : <td colSpan={4} className="poor">{v.notFound}</td>}
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function FeatureFigures({ feature }: { feature: FeatureReport }) {
  const { figures } = useShop();
  return (
    <>
      <td>{figures.length(feature.mean, true)}</td>
      <td><b>{figures.length(feature.max, true)}</b></td>
      <td>{figures.length(feature.U)}</td>
      <td className={isPoorlyFound(feature) ? "poor" : undefined}>{figures.percent(feature.coverage)}</td>
    </>
  );
}

/** Each mark of the job: whether it was found, and how far it lies off the fit. */
export function MarkTable({ record }: { record: Measured }) {
  const { words, figures } = useShop();
  const v = words.values;
  return (
    <table className="figures">
      <caption className="unseen">{v.marksTitle}</caption>
      <thead><tr><th scope="col">{v.mark}</th><th scope="col">{v.found}</th><th scope="col">{v.residual} ({figures.lengthUnit})</th></tr></thead>
      <tbody>
        {record.marks.map((mark) => (
          <tr key={mark.id}>
            <th scope="row">{mark.id}</th>
            <td>{mark.found ? v.found : v.notFound}</td>
            <td>{mark.residual === undefined ? "–" : figures.length(mark.residual)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** How the picture was read: resolution, tilt, lens, model. */
export function ViewFacts({ record }: { record: Measured }) {
  const { words, figures } = useShop();
  const v = words.values;
  const { view } = record;
  const lens = { none: v.lensNone, self: v.lensSelf, profile: v.lensProfile }[view.lens.source];
  const facts = [
    [v.scaleOfPicture, `${figures.number(view.pxPerMm, 2)} px/mm`],
    [v.tilt, `${figures.number(view.tilt, 1)}°`],
    [v.lens, lens],
    [v.model, v.models[record.model]],
  ];
  return (
    <>
      <dl className="facts">{facts.map(([name, value]) => <div key={name}><dt>{name}</dt><dd>{value}</dd></div>)}</dl>
      {view.mirrored && <p className="note">{v.mirrored}</p>}
    </>
  );
}
