import type { Page, Request } from "@playwright/test";

/** One thing that somebody does at the screens, again and again. */
export interface Interaction {
  readonly name: string;
  /** Before each time: brings the screen to where it can be done. */
  readonly before?: (page: Page, time: number) => Promise<unknown>;
  /** Real input: a press of a button, a key. */
  readonly act: (page: Page, time: number) => Promise<unknown>;
  /** An expression in the page that holds when what was asked for can be seen; without it only the response counts. */
  readonly shown?: (time: number) => string;
  readonly times?: number;
}

/** ms: until the screen had answered an input by its next frame, and until what was asked for was there. */
export interface Responses {
  readonly response: number[];
  readonly shown: number[];
}

/** Runs before the page's own scripts: notes the browser's own measure of each input (Event Timing, W3C) and when the last one came. */
export const OBSERVE = `
  window.responses = { entries: [], last: 0 };
  new PerformanceObserver((list) => window.responses.entries.push(...list.getEntries().map(({ name, interactionId, startTime, duration }) => ({ name, interactionId, startTime, duration }))))
    .observe({ type: "event", durationThreshold: 16, buffered: true });
  for (const kind of ["pointerdown", "keydown"]) addEventListener(kind, (event) => (window.responses.last = event.timeStamp), { capture: true });`;

interface Entry {
  readonly interactionId: number;
  readonly startTime: number;
  readonly duration: number;
}

/**
 * Does it `times` times. The response to an input is the longest duration that the browser states for its events (from the input to the frame that follows
 * what the page did of it, in steps of 8 ms); the browser states none below 16 ms, which count as 16.
 */
export async function responses(page: Page, { before, act, shown, times = 12 }: Interaction): Promise<Responses> {
  const result: Responses = { response: [], shown: [] };
  for (let time = 0; time < times; time++) {
    await before?.(page, time);
    await settle(page);
    const from = await page.evaluate(() => (Reflect.get(window, "responses").last = 0, performance.now()));
    const waiting = shown ? page.evaluate<number>(untilShown(shown(time))) : undefined;
    await act(page, time);
    const seen = await waiting;
    if (seen !== undefined) result.shown.push(seen);
    await settle(page);
    const entries = await page.evaluate<Entry[]>("window.responses.entries");
    const mine = entries.filter(({ startTime, interactionId }) => startTime >= from && interactionId > 0);
    result.response.push(Math.max(16, ...mine.map(({ duration }) => duration)));
  }
  return result;
}

/** ms from the last input to the frame in which the expression held. */
function untilShown(expression: string): string {
  return `new Promise((resolve, reject) => {
    const began = performance.now();
    const look = () => {
      const { last } = window.responses;
      if (last > 0 && (${expression})) return requestAnimationFrame(() => setTimeout(() => resolve(performance.now() - last), 0));
      if (performance.now() - began > 60000) return reject(new Error("Not seen within a minute: " + ${JSON.stringify(expression)}));
      requestAnimationFrame(look);
    };
    look();
  })`;
}

/** Until nothing is asked of the host, and two frames and a moment more, so that one input's work is not counted with the next one's. */
async function settle(page: Page): Promise<void> {
  while (openRequests(page) > 0) await page.waitForTimeout(10);
  await page.evaluate(() => new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(resolve, 30)))));
}

const asking = new WeakMap<Page, Set<Request>>();

function openRequests(page: Page): number {
  const known = asking.get(page);
  if (known) return known.size;
  const open = new Set<Request>();
  page.on("request", (one) => open.add(one));
  for (const end of ["requestfinished", "requestfailed"] as const) page.on(end as "requestfinished", (one) => open.delete(one));
  asking.set(page, open);
  return 0;
}
