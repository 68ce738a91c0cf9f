import { X509Certificate } from "node:crypto";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { networkAddresses, type PhoneAnswer, type PhoneDoor, startPhoneDoor } from "../door/phone.ts";
import type { Certificate } from "../door/server.ts";
import type { Desk } from "./desk.ts";
import { AppFault, faultOf } from "./fault.ts";
import type { Inbox } from "./inbox.ts";
import { measureOnDesk, noJob } from "./measure.ts";
import type { AppServices } from "./services.ts";
import type { SettingsFile } from "./settings.ts";
import { Shelf } from "./shelf.ts";

/** The phone door as the screens see it. */
export type PhoneState =
  | { readonly open: false; readonly addresses: readonly string[] }
  | {
      readonly open: true;
      /** What a phone opens, and the same as a QR code (an SVG in a data URL); null once a phone has used it. */
      readonly code: { readonly url: string; readonly picture: string } | null;
      readonly encrypted: boolean;
      readonly phones: number;
      /** Pictures that phones have sent in this session. */
      readonly taken: number;
    };

interface Opened {
  readonly door: PhoneDoor;
  code: { readonly url: string; readonly picture: string };
  /** Phones that were in when the code was made: one more, and it is spent. */
  before: number;
}

/** Opens and closes the phone door, for one session at a time; it is never open at the start. */
export class PhoneStation {
  readonly #services: AppServices;
  readonly #desk: Desk;
  readonly #settings: SettingsFile;
  readonly #inbox: Inbox;
  readonly #shelf: Shelf;
  #opened: Opened | undefined;
  #taken = 0;
  /** Opening and closing go one after the other, so that no door is left without a handle. */
  #turn: Promise<unknown> = Promise.resolve();

  constructor(services: AppServices, desk: Desk, inbox: Inbox, settings: SettingsFile) {
    this.#services = services;
    this.#desk = desk;
    this.#settings = settings;
    this.#inbox = inbox;
    this.#shelf = new Shelf(inbox.folder);
    services.stopping?.addEventListener("abort", () => void this.close());
  }

  async state(): Promise<PhoneState> {
    if (!this.#opened) return { open: false, addresses: await this.#addresses() };
    const { door, code, before } = this.#opened;
    return { open: true, code: door.phones() > before ? null : code, encrypted: door.encrypted, phones: door.phones(), taken: this.#taken };
  }

  /** @param address one of those `state` names; the first where none is given. @throws AppFault where there is no network */
  open(address?: string): Promise<PhoneState> {
    return this.#inTurn(() => this.#open(address));
  }

  async #open(address: string | undefined): Promise<PhoneState> {
    if (this.#opened) return this.state();
    const addresses = await this.#addresses();
    const chosen = addresses.find((one) => one === address) ?? addresses[0];
    if (chosen === undefined) {
      throw new AppFault(409, "no-network", "This computer is in no network that a phone could reach.", "Connect it to the shop's network.");
    }
    if (!this.#services.phoneDir) throw new AppFault(503, "no-phone-page", "The phone's page is not there.", "Build it with: npm run build");
    const door = await startPhoneDoor({
      address: chosen, pageDir: this.#services.phoneDir, certificate: (await this.#certificate())?.pem, faultOf,
      onPicture: (body, name, signal) => this.#take(body, name, signal),
    });
    this.#taken = 0;
    this.#opened = { door, before: 0, code: await codeOf(door) };
    return this.state();
  }

  /** A code for one more phone. */
  async newCode(): Promise<PhoneState> {
    if (this.#opened) {
      this.#opened.before = this.#opened.door.phones();
      this.#opened.code = await codeOf(this.#opened.door);
    }
    return this.state();
  }

  close(): Promise<PhoneState> {
    return this.#inTurn(async () => {
      const opened = this.#opened;
      this.#opened = undefined;
      await opened?.door.close();
      return this.state();
    });
  }

  #inTurn<T>(work: () => Promise<T>): Promise<T> {
    const result = this.#turn.then(work);
    this.#turn = result.catch(() => undefined);
    return result;
  }

  async #take(body: ReadableStream<Uint8Array>, name: string, signal: AbortSignal): Promise<PhoneAnswer> {
    if (!this.#desk.job) throw noJob();
    this.#inbox.makeRoom();
    const shelved = await this.#shelf.take(body, name, signal);
    const { picture } = this.#desk.lay(shelved, name, new Date(), "phone");
    this.#taken++;
    // A phone that goes to sleep meanwhile has sent its picture: it is measured all the same.
    const { outcome } = picture.outcome ? picture : await measureOnDesk(this.#services, this.#desk, picture.id, new AbortController().signal);
    if (!outcome) throw new Error("A measured picture has an outcome.");
    const { units, decimal } = await this.#settings.read();
    return { record: outcome.record, figures: { units, decimal } };
  }

  /** Names of the shop's certificate where there is one, else this machine's addresses. */
  async #addresses(): Promise<readonly string[]> {
    return (await this.#certificate())?.names ?? networkAddresses();
  }

  /** The shop's own certificate: `certificate/cert.pem` and `key.pem` in the program's folder. */
  async #certificate(): Promise<{ readonly pem: Certificate; readonly names: readonly string[] } | undefined> {
    const read = (name: string) => readFile(join(this.#services.dataDir, "certificate", name), "utf8").catch(absent);
    const [cert, key] = await Promise.all([read("cert.pem"), read("key.pem")]);
    if (cert === undefined || key === undefined) return undefined;
    const names = (new X509Certificate(cert).subjectAltName ?? "").split(", ").flatMap((entry) => /^(?:DNS|IP Address):(.+)$/.exec(entry)?.[1] ?? []);
    return { pem: { cert, key }, names };
  }
}

function absent(error: NodeJS.ErrnoException): undefined {
  if (error.code !== "ENOENT") throw error;
}

async function codeOf(door: PhoneDoor): Promise<Opened["code"]> {
  const url = door.newCode();
  const { toString } = await import("qrcode");
  const svg = await toString(url, { type: "svg", errorCorrectionLevel: "M", margin: 4 });
  return { url, picture: `data:image/svg+xml;base64,${Buffer.from(svg).toString("base64")}` };
}
