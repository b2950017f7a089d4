// Phones of the crew: let one in by a square code, see who is in, shut one out.
import { announce, el, replace } from "./dom.js";
import { get, oneByOne, post, remove } from "./net.js";
import { when } from "./revisions.js";

export async function mount(root, store) {
  const code = el("div.invitation", { "aria-live": "polite" });
  const list = el("div");
  replace(root, el("h2", {}, "Phones"),
    el("p", {}, "Readings are taken at the posts. Scan the code with the phone's camera; both must be in the same network. "
      + "Open the page before you walk out of range: it keeps every reading until the laptop has it."),
    el("button.main", { type: "button", id: "invite", onclick: invite }, "Let a phone in"), code, el("h3", {}, "Let in"), list);

  async function invite() {
    try {
      const made = await post("/api/invitations", {});
      const picture = el("img", { alt: "Square code to scan with the phone", width: 280, height: 280,
        src: `data:image/svg+xml,${encodeURIComponent(made.svg)}` });
      replace(code, picture, el("p", {}, "Code to type: ", el("strong.code", {}, made.code)),
        el("p", {}, "Or open ", el("code", {}, made.url)),
        el("p.soft", {}, `It works once, until ${new Date(made.expires).toLocaleTimeString()}.`));
    } catch (error) {
      replace(code, el("p.error", {}, error.message));
    }
  }

  const draw = oneByOne(async () => {
    const found = await get("/api/devices");
    if (!found.length) return replace(list, el("p.soft", {}, "None yet."));
    replace(list, el("div.scroll", {}, el("table", {}, el("thead", {}, el("tr", {}, ["Name", "Let in", "Last seen", ""].map((t) => el(t ? "th" : "td", {}, t)))),
      el("tbody", {}, found.map((d) => el("tr", {}, el("td", {}, d.name), el("td", {}, when(d.let_in)), el("td", {}, d.seen ? when(d.seen) : ""),
        el("td", {}, d.revoked ? "shut out" : d.own ? "" : el("button.small", { type: "button", "aria-label": `Shut out ${d.name}`, onclick: () => shut(d) }, "Shut out"))))))));
  });

  async function shut(device) {
    if (!confirm(`Shut out ${device.name}? What it has not sent yet stays on it; a new code lets it in again.`)) return;
    try {
      await remove(`/api/devices/${device.id}`);
    } catch (error) {
      announce(error.message, "error");
    }
    await draw();
  }

  store.on((what) => { if (what === "devices" || (what === "line" && store.up)) draw(); });
  await draw();
}
