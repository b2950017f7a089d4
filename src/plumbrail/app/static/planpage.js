// The plan page: the form on the left, the frame in 3D, from the side and on the site beside it.
import { el, replace } from "./dom.js";
import { get } from "./net.js";
import * as forms from "./forms.js";
import * as section from "./section.js";
import * as siteplan from "./siteplan.js";
import * as view3d from "./view3d.js";

export async function mount(root, store, open) {
  const form = el("div.plan-form");
  const [solid, side, site] = ["3D", "Side", "Site"].map((words) => el("section.view", { "aria-label": words }));
  const note = el("p.part-note", { role: "status", hidden: true });
  const pictures = el("div.views", {}, solid, el("div.pair-of-views", {}, side, site));
  replace(root, el("h2.only-read", {}, "Plan"), el("div.plan-page", {}, form, el("div.views", {}, note, pictures)));
  let drawn = false;
  /** Pictures of the last plan that could be worked out stay; without any there is a word of why. */
  const say = () => {
    drawn ||= Boolean(store.state.scene);
    pictures.hidden = !drawn;
    note.hidden = !store.state.problems;
    note.textContent = drawn ? "Drawn is the last plan that could be worked out, not this one." : "Nothing can be drawn until this plan can be worked out: mend what stands in red.";
  };
  store.on((what) => what === "state" && say());
  say();
  view3d.mount(solid, store, open);
  section.mount(side, store, open);
  siteplan.mount(site, store, open);
  const fields = forms.mount(form, store, await get("/api/schema"));
  root.addEventListener("shown", () => fields.go());
}
