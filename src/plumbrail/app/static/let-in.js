// Lets this phone in with the code from the laptop's screen. It stands alone: whoever is not let in
// yet gets no other file. The code comes after # of the address, which is never sent to a server.

const NAME = "plumbrail.name";
const WAITING = "plumbrail.out.";

const wayIn = document.getElementById("form");
if (wayIn) open(wayIn);

/** The page of its own: takes the code from the address and goes on to the phone's page. */
function open(form) {
  const { code, name } = form.elements;
  const given = decodeURIComponent(location.hash.slice(1)).slice(0, 20);
  if (given) {
    code.value = given;
    history.replaceState(null, "", location.pathname); // used once: not kept in the history
  }
  pairing(form, () => location.replace("/phone"));
  (given ? name : code).focus();
  const count = waiting();
  document.getElementById("waiting").textContent = count
    ? `${count} ${count === 1 ? "entry waits" : "entries wait"} on this phone. Nothing is lost: it is sent as soon as the phone is let in.` : "";
}

/** What was entered on this phone and is not on the laptop yet. */
function waiting() {
  try {
    return Object.keys(localStorage).filter((key) => key.startsWith(WAITING)).length;
  } catch {
    return 0; // a browser without storage
  }
}

/**
 * Pairs with what is written into a form: fields `code` and `name`, a line for what is wrong.
 * @param {HTMLFormElement} form  @param {() => void} done  called once the phone is in
 */
export function pairing(form, done) {
  const { code, name } = form.elements;
  const button = form.querySelector("button[type=submit]");
  const say = (words) => (form.querySelector("[role=alert]").textContent = words);
  try {
    name.value = localStorage.getItem(NAME) ?? "";
  } catch {
    // a browser without storage; the name is typed again
  }
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const wrong = [code, name].find((field) => !field.value.trim());
    for (const field of [code, name]) field.setAttribute("aria-invalid", String(field === wrong));
    if (wrong) {
      say(wrong === code ? "Write the code that stands on the laptop's screen." : "Give this phone a name, so that the readings show who took them.");
      wrong.focus();
      return;
    }
    button.disabled = true;
    say("");
    try {
      await ask({ code: code.value.trim(), name: name.value.trim() });
      done();
    } catch (error) {
      say(error.message);
      code.focus();
    }
    button.disabled = false;
  });
}

async function ask(body) {
  let answer;
  try {
    localStorage.setItem(NAME, body.name);
  } catch {
    // not needed to go on
  }
  try {
    answer = await fetch("/pair", {
      method: "POST",
      credentials: "same-origin",
      cache: "no-store",
      headers: { "content-type": "application/json" },
      body: JSON.stringify(body),
    });
  } catch {
    throw new Error("The laptop does not answer. Is this phone on the same network, and is plumbrail still running there?");
  }
  if (answer.ok) return;
  const told = await answer.json().catch(() => ({}));
  if (answer.status === 403)
    throw new Error("This code does not open the door: it was used already, is older than five minutes, or has a slip in it. On the laptop, open Phones and make a new one.");
  if (answer.status === 429) {
    const wait = Number(answer.headers.get("retry-after")) || 60;
    throw new Error(`Too many wrong codes. Wait ${wait} seconds, then try again with a new code.`);
  }
  throw new Error(told.error ?? `The laptop answered ${answer.status}.`);
}
