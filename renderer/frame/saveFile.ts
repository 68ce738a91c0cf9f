/** The browser has a file once it has begun to write it; this is more than that takes, ms. */
const KEPT = 60_000;

/** Hands what lies at an address to the reader's downloads. Signs that no file's name may have are replaced. */
export function saveFrom(name: string, href: string): void {
  const link = document.createElement("a");
  link.href = href;
  link.download = name.replace(/[\\/:*?"<>|]/g, "_");
  link.click();
}

/** Hands a file to the reader's downloads. */
export function saveFile(name: string, content: BlobPart, type: string): void {
  const url = URL.createObjectURL(new Blob([content], { type }));
  saveFrom(name, url);
  setTimeout(() => URL.revokeObjectURL(url), KEPT);
}

/** Saves a table; a byte order mark lets spreadsheets see UTF-8. */
export function saveCsv(name: string, text: string): void {
  saveFile(name, `\ufeff${text}`, "text/csv;charset=utf-8");
}
