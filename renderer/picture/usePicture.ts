import { useEffect, useState } from "react";
import type { Pyramid } from "../../electron/host/app/pyramid.ts";
import { client, read } from "../frame/client.ts";
import { TileStore } from "./tileStore.ts";

export interface LoadedPicture {
  readonly pyramid: Pyramid;
  readonly reduced: ImageBitmap;
  readonly tiles: TileStore;
}

export type PictureState = { readonly kind: "loading" } | { readonly kind: "failed"; readonly error: Error } | ({ readonly kind: "ready" } & LoadedPicture);

/** Longer side of the reduced copy that is shown at once. */
const REDUCED = 1600;

/** Loads a picture for showing. `arrived` is called whenever a tile comes in; it must be stable. */
export function usePicture(id: string | undefined, arrived: () => void): PictureState {
  const [state, setState] = useState<PictureState>({ kind: "loading" });
  useEffect(() => {
    setState({ kind: "loading" });
    if (!id) return;
    const stopper = new AbortController();
    let loaded: LoadedPicture | undefined;
    load(id, arrived, stopper.signal).then(
      (picture) => {
        loaded = picture;
        if (stopper.signal.aborted) release(picture);
        else setState({ kind: "ready", ...picture });
      },
      (error: Error) => {
        if (!stopper.signal.aborted) setState({ kind: "failed", error });
      },
    );
    return () => {
      stopper.abort();
      if (loaded) release(loaded);
    };
  }, [id, arrived]);
  return state;
}

async function load(id: string, arrived: () => void, signal: AbortSignal): Promise<LoadedPicture> {
  const [pyramid, reduced] = await Promise.all([
    read(client.api.pictures[":id"].pyramid.$get({ param: { id } }, { init: { signal } })),
    fetch(`/api/pictures/${id}/reduced/${REDUCED}`, { signal }).then(bitmapOf),
  ]);
  return { pyramid, reduced, tiles: new TileStore(pyramid, `/api/pictures/${id}/tiles`, arrived) };
}

async function bitmapOf(answer: Response): Promise<ImageBitmap> {
  if (!answer.ok) await read(Promise.resolve(answer));
  return createImageBitmap(await answer.blob());
}

function release(picture: LoadedPicture): void {
  picture.reduced.close();
  picture.tiles.close();
}
