// Talking to the server: JSON with a time limit, files, and one stream of events.

/** An answer that is not 2xx: `status`, and the server's Refusal in `answer`. */
export class Refused extends Error {
  constructor(status, answer) {
    super(answer?.error ?? `The server answered ${status}.`);
    this.status = status;
    this.answer = answer ?? {};
  }
}

/** The server could not be reached, or did not answer in time. */
export class Unreached extends Error {}

const SECONDS = 30;

/** A name for something that is sent; random enough without a secure context. */
export function uid() {
  const bytes = crypto.getRandomValues(new Uint8Array(12));
  return Array.from(bytes, (b) => b.toString(16).padStart(2, "0")).join("");
}

async function call(method, path, body, seconds = SECONDS) {
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), seconds * 1000);
  let answer, text;
  try {
    answer = await fetch(path, {
      method,
      signal: stop.signal,
      credentials: "same-origin",
      cache: "no-store",
      headers: body === undefined ? {} : { "content-type": "application/json" },
      body: body === undefined ? undefined : JSON.stringify(body),
    });
    text = await answer.text(); // within the time too: a line can break in the middle of an answer
  } catch {
    throw new Unreached("plumbrail does not answer. Is it still running on the laptop?");
  } finally {
    clearTimeout(timer);
  }
  let read;
  try {
    read = text ? JSON.parse(text) : null;
  } catch {
    throw new Refused(answer.status, { error: "The answer could not be read." });
  }
  if (!answer.ok) throw new Refused(answer.status, read);
  return read;
}

export const get = (path, seconds) => call("GET", path, undefined, seconds);
export const post = (path, body, seconds) => call("POST", path, body, seconds);
export const remove = (path) => call("DELETE", path);

/**
 * One question at a time: wanted again meanwhile, it is asked once more after the answer, so that an
 * older answer never comes over a newer one.
 * @param {() => Promise<void>} ask
 * @returns {() => Promise<void>} ends after an answer to a question that was asked from now on
 */
export function oneByOne(ask) {
  let running = null, again = false;
  async function run() {
    try {
      do {
        again = false;
        try {
          await ask();
        } catch (error) {
          if (!again) throw error;
        }
      } while (again);
    } finally {
      running = null;
    }
  }
  return () => {
    again = running !== null;
    running ??= run();
    return running;
  };
}

/**
 * One stream of events for the whole page; it comes back by itself.
 * @param {(event: object) => void} told
 * @param {(up: boolean) => void} [state]  whether the line is up
 */
export function listen(told, state = () => {}) {
  const source = new EventSource("/api/events");
  source.addEventListener("plumbrail", (e) => told(JSON.parse(e.data)));
  source.addEventListener("open", () => state(true));
  source.addEventListener("error", () => state(false));
  addEventListener("pagehide", () => source.close());
  return source;
}
