import { useCallback, useEffect } from "react";
import { useHost } from "../frame/useHost.ts";
import { useWhere } from "../frame/useHash.ts";
import { Waiting } from "../frame/Waiting.tsx";
import { useShop } from "../settings/useSettings.tsx";
import { Drawing } from "./Drawings.tsx";
import { type Block, type Guide, loadGuide } from "./guide.ts";
import "./guide.css";

const pictures = import.meta.glob<string>("./pictures/*.webp", { eager: true, query: "?url", import: "default" });

/** The guide: one page, its chapters reached by `#guide/CHAPTER`. */
export default function GuidePlace() {
  const { language } = useShop();
  const [asked] = useHost(useCallback(() => loadGuide(language), [language]));
  return asked.kind === "ready" ? <GuidePage guide={asked.value} /> : <div className="page"><Waiting asked={asked} /></div>;
}

function GuidePage({ guide }: { guide: Guide }) {
  const [chapter] = useWhere().rest;
  useEffect(() => {
    const heading = chapter ? document.getElementById(chapter) : null;
    heading?.scrollIntoView({ block: "start" });
    heading?.focus();
  }, [chapter]);
  return (
    <div className="page guide">
      <h1>{guide.title}</h1>
      <p className="guide-intro">{guide.intro}</p>
      <nav className="guide-contents" aria-label={guide.contents}>
        {guide.chapters.map(({ id, title }) => <a key={id} href={`#guide/${id}`}>{title}</a>)}
      </nav>
      {guide.chapters.map(({ id, title, blocks }) => (
        <section key={id} className="guide-chapter">
          <h2 id={id} tabIndex={-1}>{title}</h2>
          {blocks.map((block, i) => <GuideBlock key={`${id} ${i}`} block={block} />)}
        </section>
      ))}
    </div>
  );
}

function GuideBlock({ block }: { block: Block }) {
  const { language } = useShop();
  switch (block.kind) {
    case "text":
      return <p>{block.text}</p>;
    case "caution":
      return <p className="warnings" role="note">{block.text}</p>;
    case "steps":
      return <ol>{block.items.map((item) => <li key={item}>{item}</li>)}</ol>;
    case "points":
      return <ul>{block.items.map((item) => <li key={item}>{item}</li>)}</ul>;
    case "terms":
      return <dl className="terms">{block.rows.map(([term, meaning]) => <div key={term}><dt>{term}</dt><dd>{meaning}</dd></div>)}</dl>;
    case "drawing":
      return <figure><Drawing name={block.name} /><figcaption>{block.caption}</figcaption></figure>;
    case "picture": {
      const source = pictures[`./pictures/${block.name}-${language}.webp`] ?? pictures[`./pictures/${block.name}-en.webp`];
      return <figure><img src={source} alt="" loading="lazy" /><figcaption>{block.caption}</figcaption></figure>;
    }
  }
}
