/** Hands a file to the reader, as a download does. */
export function saveFile(name: string, content: BlobPart, type: string): void {
  const url = URL.createObjectURL(new Blob([content], { type }));
  const link = document.createElement("a");
  link.href = url;
  link.download = name.replace(/[\\/:*?"<>|]/g, "_");
  link.click();
  // The download has begun by then.
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}
