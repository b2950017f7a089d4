// What the phone knows of the job: the field sheet, the rows taken so far, the result, the ticks.
// What was entered here counts at once, before the laptop has it.
import { Refused, Unreached, get, listen, oneByOne, uid } from "./net.js";
import { Outbox } from "./queue.js";

const CHOSEN = "plumbrail.job";
const FIELD = "plumbrail.field.";
const WAITS = [1, 2, 4, 8, 15, 30];

/** The clock of this phone, as the notebook writes it: 2026-05-12 08:01:40. */
export function clock(now = new Date()) {
  const two = (n) => String(n).padStart(2, "0");
  const day = `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
  return `${day} ${two(now.getHours())}:${two(now.getMinutes())}:${two(now.getSeconds())}`;
}

export class PhoneJob {
  constructor() {
    this.jobs = [];
    this.job = "";
    this.field = null;
    /** Rows that the laptop has, by uid, in its order. @type {Map<string, object>} */
    this.rows = new Map();
    this.last = 0;
    /** The result, number of the last row when it was asked for, and whether it is being worked out. */
    this.truing = null;
    this.truedAt = -1;
    /** When the result came. */
    this.answered = "";
    /** Of the plan, as the laptop said last. */
    this.revision = 0;
    this.working = false;
    this.trouble = "";
    this.lists = null;
    this.listed = false;
    /** @type {Map<string, object>} ticks by list and item */
    this.ticks = new Map();
    this.up = false;
    this.listeners = new Set();
    this.outbox = new Outbox((items) => this.took(items));
    this.outbox.on(() => this.tell("outbox"));
    /** Questions by name. @type {Map<string, () => Promise<void>>} */
    this.questions = new Map();
  }

  on(listener) {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  tell(what) {
    for (const listener of [...this.listeners]) listener(what);
  }

  url(rest) {
    return `/api/jobs/${encodeURIComponent(this.job)}/${rest}`;
  }

  /** Opens the job that was open last, and stays in touch. */
  async start() {
    this.hear();
    addEventListener("pageshow", (event) => event.persisted && this.hear());
    this.outbox.soon();
    const wanted = new URLSearchParams(location.search).get("job") ?? recall(CHOSEN) ?? "";
    if (wanted) this.open(wanted);
    await this.findJobs();
  }

  findJobs() {
    return this.lasting(async () => {
      this.jobs = await get("/api/jobs", 15);
      if (!this.jobs.some((j) => j.id === this.job)) this.open(this.jobs[0]?.id ?? "");
      this.tell("jobs");
    });
  }

  /** Let in once more: what was kept goes now. */
  again() {
    this.outbox.letIn(true);
    this.outbox.soon();
    this.hear();
    this.findJobs();
  }

  open(job) {
    if (job === this.job) return;
    Object.assign(this, { job, rows: new Map(), last: 0, truing: null, truedAt: -1, lists: null, listed: false, ticks: new Map(), trouble: "" });
    remember(CHOSEN, job);
    this.field = JSON.parse(recall(FIELD + job) ?? "null");
    this.revision = this.field?.revision ?? 0;
    this.tell("job");
    if (job) this.refresh();
  }

  /** Asks again until it is answered; stops when another job is opened. */
  async lasting(ask) {
    const { job } = this;
    for (let tries = 0; ; tries += 1) {
      try {
        await ask();
        return;
      } catch (error) {
        if (!(error instanceof Refused || error instanceof Unreached)) throw error;
        if (error.status === 403) this.outbox.letIn(false);
        if (error instanceof Refused && error.status < 500 && error.status !== 429) {
          this.trouble = error.message;
          this.tell("trouble");
          return;
        }
        await new Promise((go) => setTimeout(go, WAITS[Math.min(tries, 5)] * 1000));
        if (job !== this.job && job) return;
      }
    }
  }

  refresh() {
    this.ask("field", async () => {
      const field = await get(this.url("field"), 30);
      if (field.job !== this.job) return;
      this.field = field;
      this.planOf(field.revision);
      remember(FIELD + this.job, JSON.stringify(field));
      this.trouble = "";
      this.tell("field");
    });
    this.ask("rows", () => this.fetchRows());
    this.ask("ticks", () => this.fetchTicks());
  }

  /** Another state of the plan: what was asked for of the one before does not hold any more. */
  planOf(revision) {
    if (revision === this.revision) return;
    this.revision = revision;
    this.lists = null;
    if (this.listed) this.askLists();
    if (this.working) this.askTruing();
  }

  /** Whether the result is of other readings, or of another state of the plan. */
  stale() {
    return this.truedAt < this.last || this.truing?.revision !== this.revision;
  }

  /** One question of a kind at a time; asked again when it came up meanwhile. */
  ask(name, question) {
    if (!this.questions.has(name)) this.questions.set(name, oneByOne(() => this.lasting(question)));
    return this.questions.get(name)();
  }

  async fetchRows() {
    const { job } = this;
    const found = await get(this.url(`readings?after=${this.last}`), 30);
    if (job !== this.job) return;
    for (const row of found.rows) {
      this.rows.delete(row.uid); // into the laptop's order
      this.rows.set(row.uid, row);
      this.last = Math.max(this.last, row.seq);
    }
    this.tell("rows");
  }

  async fetchTicks() {
    const { job } = this;
    const found = await get(this.url("ticks"), 30);
    if (job !== this.job) return;
    this.ticks = new Map(found.map((tick) => [`${tick.list}\n${tick.item}`, tick]));
    this.tell("ticks");
  }

  /** Has the result worked out; called when somebody looks at it. */
  askTruing() {
    this.ask("truing", async () => {
      const { job, last } = this;
      this.working = true;
      this.tell("truing");
      try {
        const found = await get(this.url("truing"), 120);
        if (job !== this.job) return;
        this.truing = found;
        this.answered = clock();
        this.truedAt = last;
      } finally {
        this.working = false;
        this.tell("truing");
      }
    });
  }

  askLists() {
    this.listed = true;
    this.ask("lists", async () => {
      const { job } = this;
      const found = await get(this.url("lists"), 60);
      if (job !== this.job) return;
      this.lists = found.lists;
      this.tell("lists");
    });
  }

  /** The stream of events; opened anew when it is closed for good. */
  hear() {
    this.source?.close();
    this.source = listen(
      (event) => this.heard(event),
      (up) => this.setUp(up),
    );
  }

  heard(event) {
    if (event.kind === "task" || event.kind === "devices" || event.job !== this.job) return;
    if (event.kind === "readings") this.ask("rows", () => this.fetchRows());
    if (event.kind === "ticks") this.ask("ticks", () => this.fetchTicks());
    if (event.kind === "revision") {
      this.planOf(event.revision);
      this.refresh();
    }
    this.tell("event");
  }

  setUp(up) {
    const was = this.up;
    this.up = up;
    if (up && !was) {
      this.outbox.letIn(true);
      this.outbox.soon();
      if (this.job) this.refresh();
    }
    if (!up && this.source.readyState === EventSource.CLOSED) {
      clearTimeout(this.later);
      this.later = setTimeout(() => this.hear(), 5000);
      this.ask("door", () => get("/api/jobs", 15)); // turned away: is this phone shut out?
    }
    this.tell("line");
  }

  /** Enters a row of the notebook, at this moment. Returns it and whether the phone has kept it. */
  enter(cells) {
    const row = { uid: uid(), time: clock(), ...cells };
    return { row, kept: this.outbox.add(this.job, "readings", row) };
  }

  strike(target, why) {
    return this.enter({ strikes: target, note: `struck: ${why}` });
  }

  tick(list, item, done) {
    return this.outbox.add(this.job, "ticks", { uid: uid(), list, item, done, at: new Date().toISOString() });
  }

  /** The laptop has these: they show until its own list comes. */
  took(items) {
    for (const { job, what, body } of items) {
      if (job !== this.job) continue;
      if (what === "readings" && !this.rows.has(body.uid)) this.rows.set(body.uid, { ...body, seq: this.last + 0.5 });
      if (what === "ticks") this.ticks.set(`${body.list}\n${body.item}`, { ...body, device: "this phone" });
    }
    if (items.some((item) => item.what === "readings")) this.ask("rows", () => this.fetchRows());
  }

  /** What of this job still waits on the phone. */
  waiting(what) {
    return this.outbox.items().filter((item) => item.job === this.job && item.what === what);
  }

  /** Every row in its order, those that wait at the end; `waits`, `refused` and `struck` say so. */
  everyRow() {
    const rows = new Map();
    for (const row of this.rows.values()) rows.set(row.uid, { ...row });
    for (const { body, refused } of this.waiting("readings"))
      if (!rows.has(body.uid)) rows.set(body.uid, { ...body, seq: Infinity, waits: true, refused });
    const all = [...rows.values()];
    for (const row of all.toReversed())
      if (row.strikes && !row.struck && rows.has(row.strikes)) rows.get(row.strikes).struck = true;
    for (const row of all) if (/^struck\b/i.test(row.note ?? "") && !row.strikes) row.struck = true;
    return all;
  }

  /** The tick that counts for an item: what waits here goes before what the laptop has. */
  tickOf(list, item) {
    const mine = this.waiting("ticks").filter((i) => i.body.list === list && i.body.item === item);
    const last = mine.at(-1);
    return last ? { ...last.body, waits: true, device: "this phone" } : this.ticks.get(`${list}\n${item}`);
  }
}

function recall(key) {
  try {
    return localStorage.getItem(key);
  } catch {
    return null;
  }
}

function remember(key, text) {
  try {
    localStorage.setItem(key, text);
  } catch {
    // only a convenience; readings never depend on it
  }
}
