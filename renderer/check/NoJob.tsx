import { Button } from "react-aria-components";
import { desk } from "../desk/useDesk.ts";
import { Fault } from "../frame/Fault.tsx";
import { Icon } from "../frame/Icon.tsx";
import { useShop } from "../settings/useSettings.tsx";
import { JobFaults } from "./JobFaults.tsx";
import { OpenJob } from "./OpenJob.tsx";

/** First start, or no job: the sample shop, or one's own sheet. Who has chosen once is asked for the job only, the sample last. */
export function NoJob({ fault }: { fault: Error | null }) {
  const { words, settings, change } = useShop();
  const first = !settings.welcomed;
  const openSample = async () => {
    await desk.openSample();
    await change({ welcomed: true });
  };
  const cards = [
    <section key="sample" className="start-card">
      <h2>{words.start.sampleTitle}</h2>
      <p>{words.start.sampleText}</p>
      <Button className={first ? "main-button" : "button"} onPress={openSample}><Icon name="check" />{words.check.openSample}</Button>
    </section>,
    <section key="own" className="start-card">
      <h2>{words.start.ownTitle}</h2>
      <p>{words.start.ownText}</p>
      <div className="buttons">
        <OpenJob main={!first} opened={() => change({ welcomed: true })} />
        <a className="button" href="#jobs/import"><Icon name="jobs" />{words.start.drawing}</a>
        {!first && <a className="button" href="#jobs"><Icon name="jobs" />{words.start.kept}</a>}
      </div>
    </section>,
  ];
  return (
    <>
      <h1>{first ? words.start.welcome : words.check.noJobTitle}</h1>
      <p>{first ? words.start.welcomeText : words.check.noJobText}</p>
      {fault && <Fault error={fault} />}
      <JobFaults />
      <div className="start-cards">{first ? cards : cards.toReversed()}</div>
      <a className="back" href="#guide/photograph">{words.start.guide}</a>
    </>
  );
}
