import { createReadStream } from "node:fs";
import { access, readFile } from "node:fs/promises";
import path from "node:path";
import { Readable } from "node:stream";
import type { OpenJobAnswer } from "../host/app/routes/deskRoutes.ts";
import type { FaultBody } from "../host/app/fault.ts";
import { ORIGIN } from "./scheme.ts";

interface App {
  fetch(request: Request): Response | Promise<Response>;
}

/**
 * Lays files on the desk by the application's own routes: a job file opens its job, pictures then go to it. Gives one sentence for each file
 * that could not be taken in.
 */
export async function layFiles(app: App, files: readonly string[]): Promise<string[]> {
  const isJob = (file: string) => file.toLowerCase().endsWith(".json");
  const faults: string[] = [];
  for (const file of [...files.filter(isJob), ...files.filter((one) => !isJob(one))]) {
    const fault = await layOne(app, file, isJob(file));
    if (fault) faults.push(`${path.basename(file)}: ${fault}`);
  }
  return faults;
}

async function layOne(app: App, file: string, isJob: boolean): Promise<string | undefined> {
  try {
    await access(file);
  } catch {
    return "The file is not there any more, or may not be read.";
  }
  return isJob ? openJob(app, file) : layPicture(app, file);
}

async function openJob(app: App, file: string): Promise<string | undefined> {
  const answer = await app.fetch(new Request(`${ORIGIN}/api/desk/job`, { method: "POST", body: await readFile(file, "utf8") }));
  const body = (await answer.json()) as OpenJobAnswer | FaultBody;
  if ("fault" in body) return sentence(body);
  return body.opened ? undefined : body.faults.map(({ message }) => message).join(" ");
}

async function layPicture(app: App, file: string): Promise<string | undefined> {
  const body = Readable.toWeb(createReadStream(file)) as ReadableStream<Uint8Array>;
  const name = encodeURIComponent(path.basename(file));
  const answer = await app.fetch(new Request(`${ORIGIN}/api/pictures?name=${name}&from=shell`, { method: "POST", body, duplex: "half" } as RequestInit));
  return answer.ok ? undefined : sentence((await answer.json()) as FaultBody);
}

function sentence({ fault: { message, hint } }: FaultBody): string {
  return `${message} ${hint}`.trim();
}
