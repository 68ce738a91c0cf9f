/** Files that hold drawings, for the dialogs that choose one. */
export const DRAWINGS = [".pdf", ".svg", ".dxf", "application/pdf", "image/svg+xml"];
