/** A file let go where nothing takes it is left alone; a browser would leave the page to show it. Dragged text goes where it went before. */
export function leaveStrayDrops(): void {
  for (const type of ["dragover", "drop"] as const) {
    window.addEventListener(type, (event) => {
      if (event.defaultPrevented || !event.dataTransfer?.types.includes("Files")) return;
      event.preventDefault();
      event.dataTransfer.dropEffect = "none";
    });
  }
}
