import { readFile, writeFile } from "node:fs/promises";
import { basename } from "node:path";
import type { Command } from "commander";
import type { TargetPicture } from "../../../core/camera/calibrate/camera.ts";
import type { Profile } from "../../../core/camera/profile.ts";
import type { Target, TargetKind } from "../../../core/camera/target/target.ts";
import type { Paper } from "../../host/calibrate/targetPdf.ts";
import { localTime } from "../../host/localTime.ts";
import { DataFault, MissingFault, OutputFault, UsageFault } from "../exit.ts";

interface Options {
  readonly target?: string;
  readonly out?: string;
  readonly name?: string;
  readonly scanner?: boolean;
  readonly printTarget?: string;
  readonly paper: string;
  readonly kind: string;
  readonly json?: boolean;
}

/** `kerfmark calibrate`: makes a camera or scanner profile from pictures of a target, or prints the target. */
export function register(program: Command): void {
  program
    .command("calibrate")
    .description("Makes a profile of a camera or scanner from pictures of a target; prints the target.")
    .argument("[image...]", "pictures of the target: about ten, tilted to all sides, some reaching into each corner")
    .option("--target <file>", "the target file (*.target.json)")
    .option("--out <file>", "the profile to write")
    .option("--name <text>", "name of the camera or scanner in the profile")
    .option("--scanner", "the pictures are scans of a flatbed: two or more, the target turned by a quarter turn between them")
    .option("--print-target <file>", "write the target as a PDF at true size, with its target file beside it, and stop")
    .option("--paper <size>", "paper of the target: a4 or a3", "a4")
    .option("--kind <kind>", "kind of the target that is printed: dots, or charuco (a coded chessboard, of which a picture may show any part)", "dots")
    .option("--json", "print the profile on standard output too, nothing else there")
    .addHelpText("after", `
Print the target at 100 %, glue it to something flat, lock the focus and take about ten pictures: straight on, and tilted about 30 degrees
to the left, right, front and back, with the target reaching into each corner of the picture in some of them. A board that was bought serves too: describe
it in a target file (DEVELOPERS.md has the format).

Exit status: 0 profile written; 64 wrong usage; 65 the target file or the pictures cannot be used; 66 no such file; 73 cannot write.`)
    .action(calibrate);
}

async function calibrate(images: string[], options: Options): Promise<void> {
  if (options.printTarget !== undefined) return printTarget(options.printTarget, options.paper, options.kind);
  if (options.target === undefined) throw new UsageFault("No target was named.", "Give --target TARGET.json, or make one with --print-target TARGET.pdf.");
  if (options.out === undefined) throw new UsageFault("No place for the profile was named.", "Give --out PROFILE.json.");
  if (images.length === 0) throw new UsageFault("No picture was named.", "Name the pictures of the target after the options.");
  const target = await loadTarget(options.target);
  const pictures = await measurePictures(images, target);
  const profile = await profileOf(pictures, target, options);
  await write(options.out, `${JSON.stringify(profile, null, 2)}\n`);
  process.stdout.write(options.json ? `${JSON.stringify(profile)}\n` : describe(profile, options.out));
}

async function printTarget(path: string, paper: string, kind: string): Promise<void> {
  if (paper !== "a4" && paper !== "a3") throw new UsageFault(`"${paper}" after --paper is not a paper size.`, "Give a4 or a3.");
  if (kind !== "dots" && kind !== "charuco") throw new UsageFault(`"${kind}" after --kind is not a kind of target.`, "Give dots or charuco.");
  const { ruleLengths, targetFor, writeTargetPdf } = await import("../../host/calibrate/targetPdf.ts");
  const target = targetFor(paper satisfies Paper, kind satisfies TargetKind);
  const rules = ruleLengths(paper);
  const file = `${path.replace(/\.pdf$/i, "")}.target.json`;
  await writeTargetPdf(path, target, paper).catch((error: Error) => {
    throw new OutputFault(`The target cannot be written to ${path}: ${error.message}.`, "Name a file in a folder that exists.");
  });
  await write(file, `${JSON.stringify(target, null, 2)}\n`);
  process.stdout.write(`Wrote ${path} and ${file}. Print at 100 %, and measure the rules: ${rules.x} mm below, ${rules.y} mm at the left.\n`
    + `For a scanner profile add what you measured to the target file: "measured": { "x": ..., "y": ..., "nominalX": ${rules.x}, "nominalY": ${rules.y} }.\n`);
}

async function loadTarget(path: string): Promise<Target> {
  const { readTarget } = await import("../../../core/camera/target/target.ts");
  const read = readTarget(await text(path));
  if (read.ok) return read.target;
  throw new DataFault(`${path} is not a usable target file.`, "Correct it, or make one with kerfmark calibrate --print-target TARGET.pdf.", read.errors);
}

async function text(path: string): Promise<string> {
  return readFile(path, "utf8").catch((error: NodeJS.ErrnoException) => {
    throw new MissingFault(`${path} cannot be read: ${error.code === "ENOENT" ? "there is no such file" : error.message}.`, "Check the name after --target.");
  });
}

/** Measures the target in each picture; a picture without it is told on standard error and left out. */
async function measurePictures(images: readonly string[], target: Target): Promise<TargetPicture[]> {
  const [{ decodePicture }, { PictureFault }, { findTarget }] = await Promise.all([
    import("../../host/pictures/decode.ts"), import("../../host/pictures/fault.ts"), import("../../host/calibrate/findTarget.ts"),
  ]);
  const measured: TargetPicture[] = [];
  for (const image of images) {
    const name = basename(image);
    const picture = await decodePicture(image).catch((error: unknown) => {
      if (error instanceof PictureFault) return error;
      throw new MissingFault(`${image} cannot be read: ${error instanceof Error ? error.message : String(error)}.`, "Check the picture's name.");
    });
    if (picture instanceof PictureFault) {
      process.stderr.write(`${name}: ${picture.message}\n`);
      continue;
    }
    const found = await findTarget(picture, target);
    process.stderr.write(found.ok ? `${name}: ${found.points.length} points measured.\n` : `${name}: left out; ${found.reason}.\n`);
    if (found.ok) measured.push({ name, width: picture.width, height: picture.height, exif: picture.exif, points: found.points });
  }
  return measured;
}

async function profileOf(pictures: readonly TargetPicture[], target: Target, options: Options): Promise<Profile> {
  const [{ calibrateCamera }, { calibrateScanner }] = await Promise.all([
    import("../../../core/camera/calibrate/camera.ts"), import("../../../core/camera/calibrate/scanner.ts"),
  ]);
  const exif = pictures[0]?.exif;
  const stated = [exif?.make, exif?.model].filter(Boolean).join(" ");
  const name = options.name ?? (stated || (options.scanner ? "scanner" : "camera"));
  const given = { name, date: localTime(new Date()).slice(0, 10), target: target.id };
  const result = options.scanner ? calibrateScanner(pictures, given, target.measured !== undefined) : calibrateCamera(pictures, given);
  if (result.ok) return result.profile;
  throw new DataFault(`No profile can be made: ${result.reason}.`, "Take the pictures as kerfmark calibrate --help says, sharp and evenly lit.");
}

async function write(path: string, content: string): Promise<void> {
  await writeFile(path, content).catch((error: Error) => {
    throw new OutputFault(`${path} cannot be written: ${error.message}.`, "Name a file in a folder that exists.");
  });
}

function describe(profile: Profile, path: string): string {
  const lines = [
    `Wrote ${path}: ${profile.kind} "${profile.name}", ${profile.pictures} pictures, ${profile.points} points, ${profile.rms.toFixed(3)} px RMS.`,
    profile.kind === "camera"
      ? `Focal length ${profile.lens.fx.toFixed(1)} px; lens terms ${profile.estimated.filter((t) => /^[kp]/.test(t)).join(", ") || "none"}.`
      : `${profile.pxPerMm.x.toFixed(4)} x ${profile.pxPerMm.y.toFixed(4)} px/mm; squareness ${profile.squareness.toFixed(3)} mm/m; bow ${profile.bow.x.toFixed(2)} and ${profile.bow.y.toFixed(2)} px.`,
    `The set of pictures is ${profile.verdict.grade}.`,
    ...profile.verdict.findings.map((f) => `  ${f.message}`),
  ];
  return `${lines.join("\n")}\n`;
}
