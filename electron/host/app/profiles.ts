import { profileFor } from "../../../core/camera/match.ts";
import { type Profile, profileSchema } from "../../../core/camera/profile.ts";
import type { Library } from "../library/library.ts";
import { originOf } from "../pictures/exif.ts";
import type { AppServices, Checker } from "./services.ts";
import type { SettingsFile } from "./settings.ts";

/** A profile of the shop's. */
export interface StoredProfile {
  readonly id: number;
  readonly name: string;
  readonly madeAt: string;
  readonly profile: Profile;
}

/** The shop's profiles by name; documents of another version of the format are left out. */
export async function storedProfiles(library: Library | undefined): Promise<StoredProfile[]> {
  const all = (await library?.profiles.list()) ?? [];
  return all.flatMap(({ id, name, madeAt, content }) => {
    const profile = profileSchema.safeParse(content);
    return profile.success ? [{ id, name, madeAt, profile: profile.data }] : [];
  });
}

/**
 * A checker that measures every picture with the profile the shop has chosen: always the same one, none, or the one made for the camera that the picture names. A
 * request that brings its own profile keeps it.
 */
export function withProfiles({ pool, library }: Pick<AppServices, "pool" | "library">, settings: SettingsFile): Checker {
  const chosenFor = async (image: string | Uint8Array): Promise<Profile | undefined> => {
    const { profile: choice } = await settings.read();
    if (choice === "none") return undefined;
    const stored = await storedProfiles(library);
    if (stored.length === 0) return undefined;
    if (choice !== "auto") return stored.find((p) => String(p.id) === choice)?.profile;
    return profileFor(stored.map((p) => p.profile), (await originOf(image)).exif);
  };
  return {
    workers: pool.workers,
    sort: async (request) => pool.sort({ ...request, profile: request.profile ?? (await chosenFor(request.image)) }),
    check: async (request) => pool.check({ ...request, profile: request.profile ?? (await chosenFor(request.image)) }),
    preview: (task, signal) => pool.preview(task, signal),
    rewriteHeic: (task) => pool.rewriteHeic(task),
  };
}
