/** Hosts whose https pages the window may hand to the system's browser: where the licences and standards named in the manual are. */
const HOSTS: ReadonlySet<string> = new Set(["www.electronjs.org", "nodejs.org", "www.bipm.org", "www.itl.nist.gov", "opensource.org", "spdx.org"]);

/** Whether a link may leave the program. */
export function isAllowedLink(address: string): boolean {
  const url = URL.parse(address);
  return url !== null && url.protocol === "https:" && url.port === "" && url.username === "" && url.password === "" && HOSTS.has(url.hostname);
}
