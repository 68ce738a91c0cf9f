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
/** A frame later than this has had too much to draw, ms; the browser fills lines in after our own work is done, so that only the frames tell. */
const LATE = 26;
/** Edges drawn in a frame: at first, at least, at most. */
const PORTION = { first: 6000, least: 1000, most: 60_000 } as const;
/** Drawings with more edges are not drawn anew while they are moved, unless what is shown no longer does. */
const HEAVY = 12_000;
/** The view counts as moving for this long after each change, ms. */
const SETTLED = 130;

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
  #work: Generator<number, void> | null = null;
  #stale = true;
  #request = 0;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #movedAt = 0;
  #drawnAt = 0;
  #portion: number = PORTION.first;
  /** Edges of the drawing being made, and of the one before. */
  #edges = 0;
  #edgesBefore = 0;

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
    this.#movedAt = performance.now();
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
    clearTimeout(this.#timer);
  }

  #redraw(): void {
    this.#work = null;
    this.#stale = true;
  }

  #ask(): void {
    if (this.#request) return;
    clearTimeout(this.#timer);
    this.#request = requestAnimationFrame((now) => {
      this.#request = 0;
      this.#frame(now);
    });
  }

  #frame(now: number): void {
    const g = this.#canvas.getContext("2d", { alpha: false });
    if (!g || !this.#scene) return;
    const ratio = devicePixelRatio || 1;
    const size = { width: this.#canvas.width / ratio, height: this.#canvas.height / ratio };
    const wait = this.#edgesBefore > HEAVY && !this.#stale && performance.now() - this.#movedAt < SETTLED && this.#stillDoes(size);
    if (!wait) this.#advance(now, size, ratio);
    const { scale, x, y } = this.#view;
    g.setTransform(ratio, 0, 0, ratio, 0, 0);
    this.#scene.under(g, this.#view, size);
    const k = scale / this.#front.view.scale;
    if (this.#front.canvas.width > 0) g.drawImage(this.#front.canvas, x - k * this.#front.view.x, y - k * this.#front.view.y, k * size.width, k * size.height);
    this.#scene.over(g, this.#view, size);
    const sharp = !this.#work && !this.#stale && this.#front.view === this.#view;
    this.#canvas.dataset["sharp"] = String(sharp);
    this.#drawnAt = now;
    if (sharp) return;
    if (wait) this.#timer = setTimeout(() => this.#ask(), SETTLED);
    else this.#ask();
  }

  /** Whether the sharp picture, moved and scaled, still covers most of the view without being blown up. */
  #stillDoes(size: Size): boolean {
    const { view } = this.#front;
    const k = this.#view.scale / view.scale;
    const [dx, dy] = [this.#view.x - k * view.x, this.#view.y - k * view.y];
    const seen = (shift: number, whole: number) => Math.max(0, Math.min(whole, shift + k * whole) - Math.max(0, shift)) / whole;
    return k < 2.5 && (k > 0.4 || seen(dx, size.width) > 0.4) && Math.min(1, k) * 0.5 < Math.min(seen(dx, size.width), seen(dy, size.height));
  }

  /** Goes on with the lines for as long as the frame allows; what is finished comes to the front. */
  #advance(now: number, size: Size, ratio: number): void {
    const { lines, height, styleOf } = this.#scene as Scene;
    if (!this.#work && (this.#stale || this.#front.view !== this.#view)) {
      const g = this.#back.canvas.getContext("2d");
      if (!g) return;
      g.setTransform(ratio, 0, 0, ratio, 0, 0);
      g.clearRect(0, 0, size.width, size.height);
      this.#back.view = this.#view;
      this.#edges = 0;
      this.#work = lines ? drawLines(g, lines, height, this.#view, size, styleOf) : nothing();
    } else if (this.#work && this.#drawnAt > 0) {
      const late = now - this.#drawnAt > LATE;
      this.#portion = Math.max(PORTION.least, Math.min(PORTION.most, this.#portion * (late ? 0.7 : 1.25)));
    }
    const until = performance.now() + BUDGET;
    let portion = this.#portion;
    while (this.#work && portion > 0 && performance.now() < until) {
      const { value, done } = this.#work.next();
      if (!done) {
        portion -= value;
        this.#edges += value;
        continue;
      }
      this.#work = null;
      this.#stale = false;
      this.#edgesBefore = this.#edges;
      [this.#front, this.#back] = [this.#back, this.#front];
    }
  }
}

function* nothing(): Generator<number, void> {}
