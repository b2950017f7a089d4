// A phone that was shut out comes in again by a new code without leaving its page: what it could
// not keep in its storage lives on this page only.
import { announce, el } from "./dom.js";
import { pairing } from "./let-in.js";

/** Opens the form. `again` is called once the phone is in. */
export function enterCode(again) {
  const page = el("dialog.sheet", { "aria-labelledby": "in-heading", onclose: () => page.remove() });
  const field = (name, words, more) => el("p", {}, el("label", { for: `in-${name}` }, words),
    el("input", { id: `in-${name}`, name, autocomplete: "off", ...more }));
  const form = el("form", { novalidate: true },
    el("div.pad-top", {}, el("button", { type: "button", onclick: () => page.close() }, "Close")),
    el("h2", { id: "in-heading" }, "Let this phone in again"),
    el("p", {}, "On the laptop open Phones and press “Let a phone in”. Type the code that shows there."),
    field("code", "Code", { autocapitalize: "characters", spellcheck: "false", maxlength: 20 }),
    field("name", "What to call this phone", { maxlength: 40 }),
    el("p.pad-wrong", { role: "alert" }),
    el("button.main", { type: "submit" }, "Let this phone in"));
  pairing(form, () => {
    page.close();
    announce("This phone is let in again.");
    again();
  });
  page.append(form);
  document.body.append(page);
  page.showModal();
  form.elements.code.focus();
}
