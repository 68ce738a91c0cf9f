import { mkdirSync } from "node:fs";
import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import sharp from "sharp";
import config from "../../playwright.config.ts";
import { chooseFile, expect, test } from "./fixture/desk.ts";
import { shoot } from "./fixture/shoot.ts";

/** What Chromium's own stand-in for a camera plays: pictures one after the other (Motion JPEG). */
const cache = join(import.meta.dirname, "../../.cache");
const film = join(cache, "camera.mjpeg");
const usual = config.use?.launchOptions;
test.use({
  launchOptions: { ...usual, args: [...(usual?.args ?? []), "--use-fake-device-for-media-stream", `--use-file-for-fake-video-capture=${film}`] },
});

/** A film of one sheet, as a still camera would show it. */
async function play(picture: string, blur: number): Promise<void> {
  mkdirSync(cache, { recursive: true });
  const { width, height } = await sharp(picture).metadata();
  let frame = sharp(picture).extract({ left: 0, top: 0, width: width & ~15, height: height & ~15 });
  if (blur > 0) frame = frame.blur(blur);
  const jpeg = await frame.jpeg({ quality: 95, chromaSubsampling: "4:2:0" }).toBuffer();
  await writeFile(film, Buffer.concat([jpeg, jpeg, jpeg, jpeg]));
}

test("a camera's live picture tells what it promises, and its picture is measured", async ({ page, context, open, pictures, log }) => {
  await play(pictures.good, 0);
  await context.grantPermissions(["camera"]);
  await open();
  await chooseFile(page, "Open a job", pictures.job);
  await page.getByRole("button", { name: "Camera" }).first().click();
  const readings = page.locator(".readings");
  await expect(readings).toContainText("5 of 5");
  await expect(readings).toContainText("sharp");
  await expect(readings).toContainText("0°");
  await expect(page.getByText("Good. Take the picture.")).toBeVisible();
  await shoot(page, "camera");
  await page.getByRole("button", { name: "Take the picture" }).click();
  await expect(page.getByRole("region", { name: "Verdict" })).toHaveAttribute("data-standing", "in", { timeout: 120_000 });
  await page.getByRole("region", { name: "Camera" }).getByRole("button", { name: "Close" }).click();
  await expect(page.locator("video")).toHaveCount(0);
  expect(log).toEqual([]);
});

test("a blurred live picture says so before the shutter", async ({ page, context, open, pictures }) => {
  await play(pictures.good, 5);
  await context.grantPermissions(["camera"]);
  await open();
  await chooseFile(page, "Open a job", pictures.job);
  await page.getByRole("button", { name: "Camera" }).first().click();
  await expect(page.locator(".readings")).toContainText("blurred");
  await expect(page.getByText("Good. Take the picture.")).toBeHidden();
});

test("a camera that is not allowed is said to be so, and may be tried again", async ({ page, open, pictures }) => {
  await open();
  await chooseFile(page, "Open a job", pictures.job);
  await page.getByRole("button", { name: "Camera" }).first().click();
  await expect(page.getByRole("alert")).toContainText("The camera is not allowed.");
  await expect(page.getByRole("button", { name: "Try again" })).toBeVisible();
});
