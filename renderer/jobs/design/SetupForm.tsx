import { useCallback, useEffect, useState } from "react";
import type { Setup } from "../../../core/design/setup.ts";
import { client, read } from "../../frame/client.ts";
import { useHost } from "../../frame/useHost.ts";
import { useShop } from "../../settings/useSettings.tsx";
import { Choice } from "../form/Choice.tsx";
import { LengthBox } from "../form/LengthBox.tsx";
import { NumberBox } from "../form/NumberBox.tsx";

/** How the sheets will be looked at: a phone and its distance, a scanner and its resolution, or one of the shop's profiles. */
export function SetupForm({ change }: { change: (setup: Setup | null) => void }) {
  const { words } = useShop();
  const w = words.jobs.design;
  const [kind, setKind] = useState<Setup["kind"]>("phone");
  const [distance, setDistance] = useState<number | undefined>(undefined);
  const [dpi, setDpi] = useState(300);
  const [name, setName] = useState("");
  const [asked] = useHost(useCallback(() => read(client.api.jobs.profiles.$get()), []));
  const profiles = asked.kind === "ready" ? asked.value : [];
  const profile = profiles.find((p) => p.name === name) ?? profiles[0];

  useEffect(() => {
    if (kind === "phone") change({ kind, distance });
    else if (kind === "scanner") change({ kind, dpi });
    else if (!profile) change(null);
    else change(profile.content.kind === "scanner" ? { kind: "scanner", profile: profile.content } : { kind: "camera", profile: profile.content, distance });
  }, [kind, distance, dpi, profile, change]);

  const kinds = (["phone", "scanner", "camera"] as const).filter((one) => one !== "camera" || profiles.length > 0);
  return (
    <div className="fields">
      <Choice quiet className="compact" label={w.setup} value={kind} onChange={setKind} options={kinds.map((one) => [one, w.setups[one]] as const)} />
      {kind === "camera" && (
        <label className="field"><span>{w.profile}</span>
          <select value={profile?.name ?? ""} onChange={(event) => setName(event.target.value)}>{profiles.map((p) => <option key={p.name}>{p.name}</option>)}</select>
        </label>
      )}
      {kind !== "scanner" && profile?.content.kind !== "scanner" && <LengthBox label={w.distance} text={w.distanceText} step={50} value={distance} onChange={setDistance} optional />}
      {kind === "scanner" && <NumberBox label={w.dpi} unit="dpi" decimals={0} step={50} value={dpi} onChange={(v) => v !== undefined && setDpi(v)} />}
    </div>
  );
}
