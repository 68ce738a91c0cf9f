import { useCallback, useState } from "react";
import { Label, Radio, RadioGroup } from "react-aria-components";
import { client, read } from "../frame/client.ts";
import { useHost } from "../frame/useHost.ts";
import { Waiting } from "../frame/Waiting.tsx";
import { useShop } from "../settings/useSettings.tsx";
import { TrendChart } from "./TrendChart.tsx";
import { TrendFacts } from "./TrendFacts.tsx";
import { TrendTable } from "./TrendTable.tsx";

const VALUES = ["offsetX", "offsetY", "rotation", "skew", "scaleX", "scaleY", "position"] as const;
type Value = (typeof VALUES)[number];

/** One value over the run: chart, what the chart says, and the figures as a table. */
export function TrendPanel({ id }: { id: string }) {
  const { words } = useShop();
  const [value, setValue] = useState<Value>("offsetX");
  const [asked] = useHost(useCallback(() => read(client.api.runs[":id"].trend.$get({ param: { id }, query: { value } })), [id, value]));
  return (
    <>
      <RadioGroup className="choice" value={value} onChange={(next) => setValue(next as Value)}>
        <Label>{words.values.quantity}</Label>
        <div className="choice-options">{VALUES.map((one) => <Radio key={one} value={one} className="choice-option">{words.values[one]}</Radio>)}</div>
      </RadioGroup>
      {asked.kind !== "ready" ? <Waiting asked={asked} /> : (
        <>
          <TrendChart data={asked.value} />
          <TrendFacts data={asked.value} />
          <TrendTable data={asked.value} />
        </>
      )}
    </>
  );
}
