import { biasOf, linearityOf } from "../../core/gauge/bias.ts";
import { type GaugeStudy, gaugeStudy } from "../../core/gauge/study.ts";
import type { Study } from "../../electron/host/app/routes/gaugeRoutes.ts";
import { VerdictShape } from "../frame/VerdictShape.tsx";
import { useShop } from "../settings/useSettings.tsx";
import { orderOf } from "../../core/gauge/plan.ts";
import { isLength, readingsOf } from "./plan.ts";

/** Shares of the tolerance up to which a gauge is taken for fit and for usable, per cent (common practice). */
const FIT = 10;
const USABLE = 30;
const COMPONENTS = ["gauge", "repeatability", "reproducibility", "part", "total"] as const;
const SOURCES = ["part", "operator", "interaction", "repeatability"] as const;

/** What the readings say once all are there. */
export function ResultSection({ study }: { study: Study }) {
  const { words } = useShop();
  const w = words.gauge.result;
  const complete = orderOf(study).every((slot) => slot.key in study.readings);
  const { readings } = readingsOf(study);
  const result = complete ? gaugeStudy(readings, study.tolerance ?? undefined) : null;
  return (
    <section className="card" aria-live="polite">
      <h2>{w.title} <small>{words.gauge.values[study.value as keyof typeof words.gauge.values]}</small></h2>
      {result === null && <p className="note">{w.wait}</p>}
      {result && "reason" in result && <p className="warnings">{w.impossible(result.reason)}</p>}
      {result && !("reason" in result) && <Result result={result} study={study} />}
    </section>
  );
}

function Result({ result, study }: { result: GaugeStudy; study: Study }) {
  const { words, figures } = useShop();
  const w = words.gauge.result;
  const [unit, decimals] = isLength(study.value) ? ["mm", 4] : ["mm/m", 3];
  const share = result.components.gauge.ofTolerance;
  const fitness = share === undefined ? null : share <= FIT ? "good" : share <= USABLE ? "fair" : "poor";
  const percent = (v: number | undefined): string => (v === undefined ? "–" : figures.number(v, 1));
  return (
    <>
      {fitness && (
        <div className={`gauge-verdict gauge-${fitness}`}>
          <VerdictShape standing={({ good: "in", fair: "unsure", poor: "out" } as const)[fitness]} />
          <span className="gauge-share">{percent(share)} %<small>{w.ofTolerance}</small></span>
          <span><b>{w[fitness]}</b> <small>{w.rule}</small></span>
        </div>
      )}
      <div className="wide-table"><table className="figures full">
        <caption className="unseen">{w.title}</caption>
        <thead><tr><th scope="col">{w.source}</th><th scope="col">{w.sd}, {unit}</th><th scope="col">{w.variance}</th><th scope="col">{w.study}</th><th scope="col">{w.tolerance}</th><th scope="col"><span className="unseen">%</span></th></tr></thead>
        <tbody>
          {COMPONENTS.map((name) => {
            const c = result.components[name];
            return (
              <tr key={name}>
                <th scope="row">{w.rows[name]}</th><td>{figures.number(c.sd, decimals)}</td><td>{percent(c.contribution)}</td><td>{percent(c.ofStudy)}</td><td>{percent(c.ofTolerance)}</td>
                <td className="bar-cell"><span className="bar bar-A" style={{ width: `${c.ofStudy}%` }} /></td>
              </tr>
            );
          })}
        </tbody>
      </table></div>
      <p>{result.ndc === null ? w.ndcNone : w.ndc(String(result.ndc))} {result.pooled ? w.pooled : result.pInteraction !== null && w.interacts}</p>
      <Known study={study} unit={unit} decimals={decimals} />
      <details>
        <summary>{w.anova}</summary>
        <div className="wide-table"><table className="figures full">
          <thead><tr><th scope="col">{w.source}</th><th scope="col">{w.dof}</th><th scope="col">{w.ss}</th><th scope="col">{w.ms}</th></tr></thead>
          <tbody>{SOURCES.map((name) => <tr key={name}><th scope="row">{w.sources[name]}</th><td>{result.anova[name].dof}</td><td>{figures.number(result.anova[name].ss, 6)}</td><td>{figures.number(result.anova[name].ms, 6)}</td></tr>)}</tbody>
        </table></div>
      </details>
    </>
  );
}

function Known({ study, unit, decimals }: { study: Study; unit: string; decimals: number }) {
  const { words, figures } = useShop();
  const w = words.gauge.result;
  const { known } = readingsOf(study);
  const [bias, linearity] = [biasOf(known), linearityOf(known)];
  if (!bias && !linearity) return null;
  const write = (v: number, more = 0): string => figures.number(v, decimals + more);
  return (
    <dl className="facts">
      {bias && <div><dt>{w.bias}</dt><dd>{w.biasText(`${write(bias.bias)} ${unit}`, write(bias.low), write(bias.high))}</dd></div>}
      {linearity && <div><dt>{w.linearity}</dt><dd>{w.linearityText(write(linearity.slope, 1), write(linearity.slopeLow, 1), write(linearity.slopeHigh, 1))}</dd></div>}
    </dl>
  );
}
