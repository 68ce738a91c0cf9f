import type { Size, Viewport } from "../../picture/viewport.ts";
import { drawLines, type StyleOf } from "./drawLines.ts";
import type { Lines } from "./lines.ts";

export interface Scene {
  /** The sheet's height, mm. */
  readonly height: number;
  readonly lines: Lines | null;
  readonly styleOf: StyleOf;
  /** What lies below the lines, and above them; both are quick and drawn in every frame, in CSS pixels. */
  readonly under: (g: CanvasRenderingContext2D, view: Viewport, size: Size) => void;
  readonly over: (g: CanvasRenderingContext2D, view: Viewport, size: Size) => void;
}

/** What a frame may spend on lines, ms; the rest of a sixtieth is the browser's. */
const BUDGET = 8;

interface Sharp {
  readonly canvas: HTMLCanvasElement;
  view: Viewport;
}

/**
 * Shows a scene at interactive speed however many lines it has: lines are drawn on a hidden canvas, a portion a frame, and until they are
 * done the picture before is shown moved and scaled to where it belongs. Frames are drawn only while something changes.
 */
export class Painter {
  readonly #canvas: HTMLCanvasElement;
  #front: Sharp;
  #back: Sharp;
  #scene: Scene | null = null;
  #view: Viewport = { scale: 1, x: 0, y: 0 };
  #work: Generator<void> | null = null;
  #stale = true;
  #request = 0;

  constructor(canvas: HTMLCanvasElement) {
    this.#canvas = canvas;
    const sharp = (): Sharp => ({ canvas: document.createElement("canvas"), view: this.#view });
    this.#front = sharp();
    this.#back = sharp();
  }

  show(scene: Scene): void {
    const before = this.#scene;
    this.#scene = scene;
    if (before?.lines !== scene.lines || before.styleOf !== scene.styleOf || before.height !== scene.height) this.#redraw();
    this.#ask();
  }

  look(view: Viewport): void {
    this.#view = view;
    this.#ask();
  }

  /** Fits the hidden canvases to the shown one, whose own size was just set. */
  resized(): void {
    for (const { canvas } of [this.#front, this.#back]) {
      canvas.width = this.#canvas.width;
      canvas.height = this.#canvas.height;
    }
    this.#redraw();
    this.#ask();
  }

  stop(): void {
    cancelAnimationFrame(this.#request);
  }

  #redraw(): void {
    this.#work = null;
    this.#stale = true;
  }

  #ask(): void {
    if (this.#request) return;
    this.#request = requestAnimationFrame(() => {
      this.#request = 0;
      this.#frame();
    });
  }

  #frame(): void {
    const g = this.#canvas.getContext("2d", { alpha: false });
    if (!g || !this.#scene) return;
    const ratio = devicePixelRatio || 1;
    const size = { width: this.#canvas.width / ratio, height: this.#canvas.height / ratio };
    this.#advance(size, ratio);
    const { scale, x, y } = this.#view;
    g.setTransform(ratio, 0, 0, ratio, 0, 0);
    this.#scene.under(g, this.#view, size);
    const k = scale / this.#front.view.scale;
    if (this.#front.canvas.width > 0) g.drawImage(this.#front.canvas, x - k * this.#front.view.x, y - k * this.#front.view.y, k * size.width, k * size.height);
    this.#scene.over(g, this.#view, size);
    this.#canvas.dataset["sharp"] = String(!this.#work && !this.#stale && this.#front.view === this.#view);
    if (this.#work || this.#stale || this.#front.view !== this.#view) this.#ask();
  }

  /** Goes on with the lines for as long as the frame allows; what is finished comes to the front. */
  #advance(size: Size, ratio: number): void {
    const { lines, height, styleOf } = this.#scene as Scene;
    if (!this.#work && (this.#stale || this.#front.view !== this.#view)) {
      const g = this.#back.canvas.getContext("2d");
      if (!g) return;
      g.setTransform(ratio, 0, 0, ratio, 0, 0);
      g.clearRect(0, 0, size.width, size.height);
      this.#back.view = this.#view;
      this.#work = lines ? drawLines(g, lines, height, this.#view, size, styleOf) : nothing();
    }
    const until = performance.now() + BUDGET;
    while (this.#work && performance.now() < until) {
      if (!this.#work.next().done) continue;
      this.#work = null;
      this.#stale = false;
      [this.#front, this.#back] = [this.#back, this.#front];
    }
  }
}

function* nothing(): Generator<void> {}
