// A lock between processes: a folder that only one of them can make. Its owner touches it every second, so that a lock
// left behind by a killed process is told from one in use, on every platform and without trusting process numbers.
import { mkdirSync, renameSync, rmdirSync, statSync, utimesSync } from "node:fs";
import { setTimeout as wait } from "node:timers/promises";

const HEARTBEAT_MS = 1_000;
const STALE_MS = 15_000;
const POLL_MS = 100;

/**
 * Runs `work` while no other process holds the lock `folder`.
 * @template T
 * @param {string} folder
 * @param {string} what what the others are doing, for the sentence shown while waiting
 * @param {() => Promise<T>} work
 * @returns {Promise<T>}
 */
export async function withLock(folder, what, work) {
  let told = false;
  while (!take(folder)) {
    if (isStale(folder)) {
      discard(folder);
      continue;
    }
    if (!told) process.stderr.write(`Waiting for another command that is ${what} …\n`);
    told = true;
    await wait(POLL_MS);
  }
  const heartbeat = setInterval(() => touch(folder), HEARTBEAT_MS);
  try {
    return await work();
  } finally {
    clearInterval(heartbeat);
    rmdirSync(folder);
  }
}

/** @param {string} folder */
function take(folder) {
  try {
    mkdirSync(folder);
    return true;
  } catch (error) {
    if (code(error) === "EEXIST") return false;
    throw error;
  }
}

/** @param {string} folder */
function isStale(folder) {
  try {
    return Date.now() - statSync(folder).mtimeMs > STALE_MS;
  } catch (error) {
    if (code(error) === "ENOENT") return false;
    throw error;
  }
}

/**
 * Renaming first makes sure that of several waiters only one removes the folder. A waiter that slept between looking
 * and renaming may take a fresh lock away: it is given back, and the owner never noticed.
 * @param {string} folder
 */
function discard(folder) {
  const aside = `${folder}.${process.pid}`;
  try {
    renameSync(folder, aside);
  } catch (error) {
    if (code(error) === "ENOENT") return;
    throw error;
  }
  if (isStale(aside)) rmdirSync(aside);
  else renameSync(aside, folder);
}

/** @param {string} folder */
function touch(folder) {
  const now = new Date();
  utimesSync(folder, now, now);
}

/** @param {unknown} error */
function code(error) {
  return error instanceof Error && "code" in error ? error.code : undefined;
}
