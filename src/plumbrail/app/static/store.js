// The job that is open: its last valid state, edits one after the other, and who wants to know.
import { announce } from "./dom.js";
import { Refused, get, listen, oneByOne, post, uid } from "./net.js";

/** Milliseconds after which a page that is not looked at gives its line back. */
const REST = 5000;
/** Milliseconds that opening waits for the line at most. */
const FIRST = 1500;

/**
 * Opens a job. `store.state` is a State or, with `problems`, a Broken of the server's messages.
 * Listeners get ("state" | "select" | "problems" | "line" | event kind, detail).
 */
export async function openStore(job) {
  const store = new Store(job);
  await store.heard(); // first listen, then ask: what ends in between would never be known of
  store.asked = true;
  await store.reload();
  const look = () => store.look(document.hidden);
  document.addEventListener("visibilitychange", look);
  look();
  return store;
}

export class Store {
  constructor(job) {
    this.job = job;
    this.state = null;
    this.selected = "";
    this.busy = false;
    /** Whether the line is up; null: not known yet. */
    this.up = null;
    /** Whether the state was asked for already. */
    this.asked = false;
    /** The last revision that was heard of. */
    this.newest = 0;
    /** What is wrong, by path; the last valid state stays. */
    this.problems = new Map();
    /** Paths of what was typed and refused; their messages stay until they are written anew. */
    this.typed = new Set();
    this.listeners = new Set();
    this.queue = Promise.resolve();
    this.waiting = 0;
    this.reload = oneByOne(async () => this.take(await get(this.url())));
  }

  get revision() {
    return this.state?.revision ?? 0;
  }

  on(listener) {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  tell(what, detail) {
    for (const listener of [...this.listeners]) listener(what, detail);
  }

  url(rest = "") {
    return `/api/jobs/${encodeURIComponent(this.job)}${rest}`;
  }

  select(id) {
    if (id === this.selected) return;
    this.selected = id;
    this.tell("select", id);
  }

  listen() {
    this.source = listen((e) => this.hear(e), (up) => this.setLine(up));
  }

  /** Listens; resolves when the line is up or down, in a while at the latest. */
  heard() {
    return new Promise((go) => {
      const done = this.on((what) => what === "line" && [done(), go()]);
      setTimeout(go, FIRST);
      this.listen();
    });
  }

  /** A browser has six lines to a server, for all its pages: one that is hidden needs none. */
  look(hidden) {
    clearTimeout(this.resting);
    if (!hidden && this.source.readyState === EventSource.CLOSED) this.listen();
    if (hidden)
      this.resting = setTimeout(() => {
        this.source.close();
        this.up = null; // neither up nor down: whatever it is next is told, and everything asked for
      }, REST);
  }

  setLine(up) {
    if (up === this.up) return;
    this.up = up;
    this.tell("line", up);
    if (up && this.asked) this.refresh();
  }

  take(state) {
    if (this.state && state.revision < this.state.revision) return;
    this.state = state;
    this.settle();
    this.tell("state", state);
  }

  /** Beside fields stands what was refused as typed, and what is wrong with the plan as it is. */
  settle() {
    for (const path of [...this.problems.keys()]) if (!this.typed.has(path)) this.problems.delete(path);
    for (const p of this.state.problems ?? []) if (!this.typed.has(p.path)) this.problems.set(p.path, p.message);
    this.tell("problems", this.problems);
  }

  /** Changes of fields; resolves to whether they were taken. Errors stay in `problems`. */
  edit(changes) {
    for (const change of changes) {
      this.problems.delete(change.path);
      this.typed.delete(change.path);
    }
    return this.send("/edits", { changes }, changes);
  }

  /** undo, redo, or restore with the revision to bring back. */
  step(step, to) {
    return this.send("/steps", to === undefined ? { step } : { step, to }, []);
  }

  send(path, body, changes) {
    this.waiting += 1;
    this.setBusy(true);
    const once = this.queue.then(() => this.sendNow(path, { uid: uid(), ...body }, changes));
    this.queue = once.catch(() => {}).finally(() => {
      this.waiting -= 1;
      this.setBusy(this.waiting > 0);
    });
    return once;
  }

  setBusy(busy) {
    if (busy === this.busy) return;
    this.busy = busy;
    this.tell("busy", busy);
    if (!busy && this.newest > this.revision) this.refresh(); // changed on another screen meanwhile
  }

  async sendNow(path, body, changes, again = true) {
    const before = this.state;
    try {
      this.take(await post(this.url(path), { ...body, revision: this.revision }));
      return true;
    } catch (error) {
      if (!(error instanceof Refused)) {
        announce(error.message, "error");
        this.keep(changes, error.message);
        return false;
      }
      if (error.status === 409 && again) return this.onTop(path, body, changes, before);
      this.keep(changes, error.message, error.answer.problems);
      announce(error.answer.problems?.[0]?.message ?? error.message, "error");
      return false;
    }
  }

  /** Somebody else changed the plan: once more on top, unless they changed the same fields. */
  async onTop(path, body, changes, before) {
    await this.reload();
    const same = changes.every((c) => at(before?.values, c.path) === at(this.state?.values, c.path));
    if (same && path === "/edits") return this.sendNow(path, body, changes, false);
    announce("The plan was changed on another screen. Look at it and do this again.", "error");
    return false;
  }

  keep(changes, message, problems) {
    const found = problems?.length ? problems : changes.map((c) => ({ path: c.path, message }));
    for (const problem of found) this.problems.set(problem.path, problem.message);
    for (const { path } of changes) {
      this.typed.add(path);
      // refused for what it does elsewhere: said beside what was typed, too
      if (!found.some((p) => p.path.startsWith(path))) this.problems.set(path, `Not changed: ${found[0]?.message ?? message}`);
    }
    this.tell("problems", this.problems);
  }

  hear(event) {
    if (event.job && event.job !== this.job) return;
    this.newest = Math.max(this.newest, event.revision ?? 0);
    if (event.kind === "revision" && event.revision > this.revision && !this.busy) this.refresh();
    if (event.kind === "part" && event.revision >= this.revision) this.refresh();
    if (event.kind === "readings") this.refreshSoon(); // the gate of the strip is another one now
    this.tell(event.kind, event);
  }

  /** Readings come by the handful: asked once for all of them. */
  refreshSoon(wait = 300) {
    this.later ??= setTimeout(() => {
      this.later = null;
      this.refresh();
    }, wait);
  }

  /** The state as it is on the server by now; asked for until it is answered. */
  async refresh() {
    try {
      await this.reload();
    } catch {
      return this.refreshSoon(5000); // an old verdict must not stay
    }
    if (this.busy) this.refreshSoon(); // the answer to an edit may be older than this one
  }
}

/** The written value at a path such as site.shade.trees[1].at, as text; items count from 1. */
export function at(values, path) {
  let here = values;
  for (const step of steps(path)) here = here?.[step];
  return JSON.stringify(here);
}

/** The steps of a path; items of lists count from 0 here. */
export function steps(path) {
  const found = path.matchAll(/\[(\d+)\]|"((?:[^"\\]|\\.)*)"|([^.[\]"]+)/g);
  return Array.from(found, (m) => (m[1] ? Number(m[1]) - 1 : m[2] ?? m[3]));
}
