import type { Profile } from "../../core/camera/profile.ts";
import { useShop } from "../settings/useSettings.tsx";
import { cornerShift, statedDevice } from "./profileText.ts";

/** What a profile says, in figures. */
export function ProfileFacts({ profile }: { profile: Profile }) {
  const { words, figures, language } = useShop();
  const w = words.cameras.facts;
  const px = (v: number, decimals = 1) => `${figures.number(v, decimals)} px`;
  const both = (a: string, b: string) => `${a} · ${b}`;
  const { width, height } = profile.picture;
  const u = (i: number) => Math.sqrt(Math.max(0, profile.covariance[i][i]));
  const date = new Intl.DateTimeFormat(language === "en" ? "en-GB" : language, { dateStyle: "medium" }).format(new Date(`${profile.date}T12:00`));
  const rows: [string, string][] = [
    [w.camera, statedDevice(profile) ?? w.unknown],
    ...(profile.exif.lensModel ? [[w.lens, profile.exif.lensModel] as [string, string]] : []),
    [w.size, `${profile.pictures} × ${width} × ${height} px`],
    [w.date, date], [w.target, profile.target],
  ];
  if (profile.kind === "camera") {
    const { lens, estimated } = profile;
    rows.push(
      [w.focal, `${px((lens.fx + lens.fy) / 2)} ± ${px(2 * u(0), 2)}${profile.exif.focalLength ? ` (${figures.number(profile.exif.focalLength, 1)} mm)` : ""}`],
      [w.centre, `${both(px(lens.cx), px(lens.cy))} ± ${px(2 * Math.max(u(2), u(3)), 2)}`],
      [w.terms, estimated.filter((t) => /^[kp]/.test(t)).map((t) => `${t} ${figures.number(lens[t], 5)}`).join(", ") || w.none],
      [w.corner, px(cornerShift(lens, profile.picture))],
    );
  } else {
    rows.push(
      [w.scale, both(figures.number(profile.pxPerMm.x, 4), figures.number(profile.pxPerMm.y, 4))],
      [w.square, `${figures.rate(profile.squareness, true)} ± ${figures.rate(2 * u(2))} mm/m`],
      [w.bow, both(px(profile.bow.x, 2), px(profile.bow.y, 2))],
    );
  }
  return (
    <section className="card">
      <h2>{w.title}</h2>
      <dl className="facts">{rows.map(([term, text]) => <div key={term}><dt>{term}</dt><dd>{text}</dd></div>)}</dl>
    </section>
  );
}
