import { useCallback, useEffect, useReducer, useRef, useState } from "react";
import type { Profile } from "../../core/camera/profile.ts";
import type { Paper, TargetKind } from "../../electron/host/calibrate/targetPdf.ts";
import type { Reading } from "../../electron/host/calibrate/targetWorker.ts";
import { client, read } from "../frame/client.ts";

export type ReadPicture = Extract<Reading, { ok: true }>["picture"];

/** A picture of the target on its way into the set. */
export interface SetEntry {
  readonly key: string;
  readonly name: string;
  readonly state: "waiting" | "reading" | "read" | "unread" | "failed";
  readonly file?: File;
  readonly picture?: ReadPicture;
  /** Why nothing could be read. */
  readonly reason?: string;
  readonly error?: Error;
}

type Change = { readonly add: readonly SetEntry[] } | { readonly key: string; readonly to: Partial<SetEntry> } | { readonly remove: string } | { readonly clear: true };

interface TargetSet {
  readonly entries: readonly SetEntry[];
  /** What was read; the same array as long as nothing is added to it or taken from it. */
  readonly pictures: readonly ReadPicture[];
}

function reduce(set: TargetSet, change: Change): TargetSet {
  const entries = changed(set.entries, change);
  const pictures = entries.flatMap((e) => e.picture ?? []);
  const same = pictures.length === set.pictures.length && pictures.every((p, i) => p === set.pictures[i]);
  return { entries, pictures: same ? set.pictures : pictures };
}

function changed(entries: readonly SetEntry[], change: Change): readonly SetEntry[] {
  if ("add" in change) return [...entries, ...change.add];
  if ("remove" in change) return entries.filter((e) => e.key !== change.remove);
  if ("clear" in change) return [];
  return entries.map((e) => (e.key === change.key ? { ...e, ...change.to } : e));
}

export interface Wanted {
  readonly kind: Profile["kind"];
  readonly target: TargetKind;
  readonly paper: Paper;
  readonly rules?: { readonly x: number; readonly y: number };
}

export type Made = { readonly state: "nothing" | "working" } | { readonly state: "impossible"; readonly reason: string } | { readonly state: "failed"; readonly error: Error } | { readonly state: "made"; readonly profile: Profile };

/**
 * The pictures of a target as they come in, read one after the other by the host, and the profile that those read so far give. Another target needs the pictures read
 * anew, so the set is emptied then.
 */
export function useTargetSet(wanted: Wanted): { entries: readonly SetEntry[]; made: Made; add(files: readonly File[]): void; remove(key: string): void } {
  const [{ entries, pictures }, change] = useReducer(reduce, { entries: [], pictures: [] });
  const [made, setMade] = useState<Made>({ state: "nothing" });
  const serial = useRef(0);
  const { kind, target, paper, rules } = wanted;

  useEffect(() => change({ clear: true }), [target, paper]);

  const next = entries.some((e) => e.state === "reading") ? undefined : entries.find((e) => e.state === "waiting");
  useEffect(() => {
    if (!next?.file) return;
    const { key, name, file } = next;
    change({ key, to: { state: "reading" } });
    read<Reading>(fetch(`/api/cameras/readings?name=${encodeURIComponent(name)}&paper=${paper}&target=${target}`, { method: "POST", body: file })).then(
      (answer) => change({ key, to: answer.ok ? { state: "read", picture: answer.picture, file: undefined } : { state: "unread", reason: answer.reason, file: undefined } }),
      (error: Error) => change({ key, to: { state: "failed", error } }),
    );
  }, [next, target, paper]);

  useEffect(() => {
    if (pictures.length < (kind === "scanner" ? 1 : 2)) return setMade({ state: "nothing" });
    const stop = new AbortController();
    setMade({ state: "working" });
    read(client.api.cameras.make.$post({ json: { kind, name: "", target, paper, rules, pictures: pictures.map(rounded) } }, { init: { signal: stop.signal } })).then(
      (answer) => setMade(answer.ok ? { state: "made", profile: answer.profile as Profile } : { state: "impossible", reason: answer.reason }),
      (error: Error) => stop.signal.aborted || setMade({ state: "failed", error }),
    );
    return () => stop.abort();
  }, [kind, target, paper, rules, pictures]);

  const add = useCallback((files: readonly File[]) => change({ add: files.map((file) => ({ key: String(++serial.current), name: file.name, state: "waiting", file })) }), []);
  const remove = useCallback((key: string) => change({ remove: key }), []);
  return { entries, made, add, remove };
}

/** A hundred thousandth of a pixel is more than is known. */
function rounded(picture: ReadPicture) {
  const at = (v: number) => Math.round(1e5 * v) / 1e5;
  return { ...picture, points: picture.points.map(({ x, y, u, v }) => ({ x, y, u: at(u), v: at(v) })) };
}
