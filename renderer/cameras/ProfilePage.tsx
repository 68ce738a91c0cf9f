import { useCallback } from "react";
import { Button } from "react-aria-components";
import { client, read } from "../frame/client.ts";
import { useHost } from "../frame/useHost.ts";
import { Icon } from "../frame/Icon.tsx";
import { Waiting } from "../frame/Waiting.tsx";
import { saveFile } from "../frame/saveFile.ts";
import { useUndo } from "../frame/useUndo.tsx";
import { useShop } from "../settings/useSettings.tsx";
import { Findings } from "./Findings.tsx";
import { ProfileFacts } from "./ProfileFacts.tsx";
import { ResidualMap } from "./ResidualMap.tsx";

/** One profile: the verdict on its pictures, what it says, what it leaves over; saving it as a file, deleting it. */
export function ProfilePage({ id }: { id: string }) {
  const { words, settings, change } = useShop();
  const w = words.cameras;
  const [asked, again] = useHost(useCallback(() => read(client.api.cameras.$get()), []));
  const { attempt, offerDeletion, notice } = useUndo(again);
  const back = <a className="back" href="#cameras">‹ {w.back}</a>;
  if (asked.kind !== "ready") return <div className="page">{back}<Waiting asked={asked} /></div>;
  const stored = asked.value.profiles.find((p) => String(p.id) === id);
  if (!stored) return <div className="page">{back}{notice}</div>;
  const { name, profile } = stored;
  const remove = () => attempt(async () => {
    const deletion = await read(client.api.cameras[":id"].$delete({ param: { id } }));
    if (settings.profile === id) await change({ profile: "auto" });
    offerDeletion(w.removed(name), deletion);
    again();
  });
  return (
    <div className="page wide cameras">
      {back}
      <h1>{name}</h1>
      {notice}
      <div className="profile-grid">
        <section className="card"><h2>{w.verdict.title}</h2><Findings verdict={profile.verdict} /></section>
        <ProfileFacts profile={profile} />
        <ResidualMap profile={profile} />
      </div>
      <div className="buttons">
        <Button className="button" onPress={() => saveFile(`${name}.camera.json`, `${JSON.stringify(profile, null, 2)}\n`, "application/json")}><Icon name="save" />{w.saveFile}</Button>
        <Button className="button" onPress={remove}><Icon name="close" />{w.remove}</Button>
      </div>
    </div>
  );
}
