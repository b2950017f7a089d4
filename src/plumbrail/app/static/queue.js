// The outbox: what was read or ticked is kept on this phone before anything else, and stays until
// the laptop has named its uid. One entry in localStorage for each item, so that two tabs never
// write over each other; what both send counts once by its uid.
import { Refused, post } from "./net.js";

const PREFIX = "plumbrail.out.";
const WAITS = [1, 2, 4, 8, 15, 30];
const MOST = 200;
const SECONDS = 15;
const BODY = { readings: "rows", ticks: "ticks" };

/**
 * @typedef {object} Item
 * @property {string} key    place in the order, and the uid
 * @property {string} job
 * @property {"readings"|"ticks"} what
 * @property {object} body   the row or tick, with its uid
 * @property {string} [refused]  why the laptop did not take it; it stays here
 */

export class Outbox {
  /** @param {(items: Item[]) => void} taken  told what the laptop has for certain */
  constructor(taken) {
    this.taken = taken;
    /** Items that this phone could not keep: only on this page. @type {Map<string, Item>} */
    this.loose = new Map();
    /** Why the line is not there: "", "away" (no answer), "out" (not let in), "trouble". */
    this.line = "";
    this.trouble = "";
    this.listeners = new Set();
    this.tries = 0;
    this.last = 0;
    addEventListener("online", () => this.soon());
    addEventListener("pageshow", () => this.soon());
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible") this.soon();
    });
    addEventListener("storage", (event) => {
      if (event.key === null || event.key.startsWith(PREFIX)) this.tell();
    });
    addEventListener("beforeunload", (event) => {
      if (this.items().length) event.preventDefault();
    });
  }

  on(listener) {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  tell() {
    for (const listener of [...this.listeners]) listener();
  }

  /** Keeps an item and sends it. Returns whether the phone has kept it. */
  add(job, what, body) {
    const item = { key: this.nextKey(body.uid), job, what, body };
    const kept = this.keep(item);
    this.tell();
    this.soon();
    return kept;
  }

  keep(item) {
    const { key, ...rest } = item;
    try {
      localStorage.setItem(key, JSON.stringify(rest));
      this.loose.delete(key);
      return true;
    } catch {
      this.loose.set(key, item);
      return false;
    }
  }

  /** Later than everything that waits, also when the clock was set back. */
  nextKey(uid) {
    const last = this.items().at(-1)?.key.slice(PREFIX.length, PREFIX.length + 15) ?? 0;
    this.last = Math.max(Date.now(), this.last + 1, Number(last) + 1);
    return `${PREFIX}${String(this.last).padStart(15, "0")}.${uid}`;
  }

  /** Everything that waits, in its order. @returns {Item[]} */
  items() {
    const found = [...this.loose.values()];
    for (const key of keys()) {
      try {
        found.push({ key, ...JSON.parse(localStorage.getItem(key)) });
      } catch {
        // another tab took it out a moment ago
      }
    }
    return found.filter((item) => item.body).sort((a, b) => (a.key < b.key ? -1 : 1));
  }

  drop(item) {
    this.loose.delete(item.key);
    try {
      localStorage.removeItem(item.key);
    } catch {
      // it was never in the storage
    }
  }

  /** Sends what was refused once more. */
  retry() {
    for (const { refused, ...item } of this.items()) if (refused) this.keep(item);
    this.tell();
    this.soon();
  }

  soon() {
    clearTimeout(this.timer);
    this.tries = 0;
    this.flush();
  }

  async flush() {
    if (this.sending) return;
    this.sending = true;
    let going = true;
    try {
      for (const item of [...this.loose.values()]) this.keep(item);
      for (let batch = this.batch(); batch.length; batch = this.batch()) {
        going = await this.sendOrSplit(batch);
        this.tell();
        if (!going) break;
      }
    } finally {
      this.sending = false;
    }
    if (!going) this.later();
    this.tell();
  }

  later() {
    clearTimeout(this.timer);
    const wait = WAITS[Math.min(this.tries, WAITS.length - 1)] * (0.8 + 0.4 * Math.random());
    this.tries += 1;
    this.timer = setTimeout(() => this.flush(), wait * 1000);
  }

  /** The first items that can go together. */
  batch() {
    const waiting = this.items().filter((item) => !item.refused);
    const first = waiting[0];
    const other = waiting.findIndex((item) => item.job !== first.job || item.what !== first.what);
    return waiting.slice(0, Math.min(other < 0 ? waiting.length : other, MOST));
  }

  async sendOrSplit(batch) {
    try {
      return await this.send(batch);
    } catch (error) {
      if (!refusal(error)) return this.lost(error);
    }
    for (const item of batch) {
      try {
        if (!(await this.send([item]))) return false;
      } catch (error) {
        if (!refusal(error)) return this.lost(error);
        this.keep({ ...item, refused: error.answer.problems?.[0]?.message ?? error.message });
      }
    }
    return true;
  }

  /** Takes out what the answer names. Returns whether anything got through. */
  async send(batch) {
    const { job, what } = batch[0];
    const path = `/api/jobs/${encodeURIComponent(job)}/${what}`;
    const answer = await post(path, { [BODY[what]]: batch.map((item) => item.body) }, SECONDS);
    const named = new Set(answer?.uids ?? []);
    const done = batch.filter((item) => named.has(item.body.uid));
    this.taken(done);
    for (const item of done) this.drop(item);
    this.line = this.trouble = "";
    this.tries = 0;
    return done.length > 0;
  }

  /** What another question found: whether this phone is let in. */
  letIn(is) {
    if (is !== (this.line === "out")) return;
    this.line = is ? "" : "out";
    this.tell();
  }

  lost(error) {
    this.line = !(error instanceof Refused) ? "away" : error.status === 403 ? "out" : "trouble";
    this.trouble = error.message;
    return false;
  }
}

/** Refused for what it is, and would be again. */
function refusal(error) {
  return error instanceof Refused && [400, 404, 413, 422].includes(error.status);
}

function keys() {
  try {
    return Object.keys(localStorage).filter((key) => key.startsWith(PREFIX));
  } catch {
    return [];
  }
}
