import { useShop } from "../../settings/useSettings.tsx";
import type { Charts } from "../runData.ts";

const INDICES = [["Cp", "cp"], ["Cpk", "cpk"], ["Pp", "pp"], ["Ppk", "ppk"]] as const;

/** Capability with intervals, and the share out of tolerance. */
export function CapabilityTable({ capability }: { capability: Charts["statistics"]["capability"] }) {
  const { words, figures } = useShop();
  const w = words.runs.facts;
  if (!capability) return <p className="note">–</p>;
  const two = (v: number | undefined) => (v === undefined ? "–" : figures.number(v, 2));
  return (
    <table className="figures">
      <caption className="unseen">{w.capability}</caption>
      <thead><tr><th scope="col">{w.index}</th><th scope="col">{words.values.value}</th><th scope="col">{w.interval}</th></tr></thead>
      <tbody>
        {INDICES.map(([name, key]) => capability[key] !== undefined && (
          <tr key={key}><th scope="row">{name}</th><td>{two(capability[key])}</td><td>{two(capability[`${key}Low`])} … {two(capability[`${key}High`])}</td></tr>
        ))}
        {capability.outShare !== undefined && <tr><th scope="row">{w.out}</th><td>{figures.percent(capability.outShare)}</td><td /></tr>}
      </tbody>
    </table>
  );
}
