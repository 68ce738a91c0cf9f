import type { CameraProfile, ScannerProfile } from "../camera/profile.ts";

/** How the sheets will be looked at. */
export type Setup =
  /** A phone without a profile, held about this far away, mm; as far as the sheet fills the picture where no distance is given. */
  | { readonly kind: "phone"; readonly distance?: number }
  /** A camera with a profile; its distance as a phone's. */
  | { readonly kind: "camera"; readonly profile: CameraProfile; readonly distance?: number }
  /** A flatbed scanner, with its profile where there is one; `dpi` is then the profile's. */
  | { readonly kind: "scanner"; readonly dpi?: number; readonly profile?: ScannerProfile };

/** The light that the picture holds: what decides how well an edge can be placed. */
export interface Light {
  /** Blur of the edges, sigma, px. */
  readonly blur: number;
  /** Noise of a pixel, of full scale in linear light. */
  readonly noise: number;
  /** Ink against board, of full scale in linear light. */
  readonly contrast: number;
}

/** The camera in figures: what `viewpointOf` places before the sheet. */
export interface Optics {
  readonly width: number;
  readonly height: number;
  /** Focal length, px; null for a scanner. */
  readonly focal: number | null;
  /** The same as on film of 36 x 24 mm. */
  readonly focal35: number;
  /** Known before the picture: the lens need not be found from it. */
  readonly lensKnown: boolean;
  /** Scale of a scanner; null for a camera, whose distance decides. */
  readonly pxPerMm: number | null;
  /** Degrees that the camera leans from square to the sheet. */
  readonly tilt: number;
  readonly light: Light;
}

/** A phone's main camera: 12 megapixels, a lens like 26 mm on film (common practice, no source). */
const PHONE = { width: 4032, height: 3024, focal35: 26 };
/** Diagonal of a picture on film, mm. */
const FILM = Math.hypot(36, 24);
/** A hand holds a camera square to the sheet to about this, degrees; a stand or a scanner better (common practice, no source). */
const HAND_TILT = 8;
/** Blur and noise of a phone in a lit room and of a flatbed (from memory: sharpened 12-megapixel pictures, 8-bit scans). */
const PHOTO_LIGHT: Light = { blur: 1.1, noise: 0.006, contrast: 0.6 };
const SCAN_LIGHT: Light = { blur: 0.8, noise: 0.005, contrast: 0.65 };
const USUAL_DPI = 300;

/** The camera or scanner of a setup in figures; a phone is the usual one. */
export function opticsOf(setup: Setup): Optics {
  if (setup.kind === "scanner") {
    const scale = setup.profile ? Math.sqrt(setup.profile.pxPerMm.x * setup.profile.pxPerMm.y) : (setup.dpi ?? USUAL_DPI) / 25.4;
    const size = setup.profile?.picture ?? { width: 0, height: 0 };
    return { ...size, focal: null, focal35: 0, lensKnown: setup.profile !== undefined, pxPerMm: scale, tilt: 0, light: SCAN_LIGHT };
  }
  if (setup.kind === "camera") {
    const { lens, picture } = setup.profile;
    return { width: picture.width, height: picture.height, focal: (lens.fx + lens.fy) / 2, focal35: ((lens.fx + lens.fy) / 2 / Math.hypot(picture.width, picture.height)) * FILM, lensKnown: true, pxPerMm: null, tilt: HAND_TILT, light: PHOTO_LIGHT };
  }
  const focal = (PHONE.focal35 / FILM) * Math.hypot(PHONE.width, PHONE.height);
  return { width: PHONE.width, height: PHONE.height, focal, focal35: PHONE.focal35, lensKnown: false, pxPerMm: null, tilt: HAND_TILT, light: PHOTO_LIGHT };
}
