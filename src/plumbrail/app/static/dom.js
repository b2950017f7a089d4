// Small helpers to build pages: no framework, no inline script or style.

/**
 * An element with its attributes, listeners (onclick, …) and children.
 * @param {string} tag  name, with classes after dots: "button.big"
 * @param {Object<string, any>} [props]
 * @param {...(Node|string|number|null|undefined|false|Array<any>)} children
 * @returns {HTMLElement}
 */
export function el(tag, props = {}, ...children) {
  const [name, ...classes] = tag.split(".");
  const node = document.createElement(name || "div");
  if (classes.length) node.className = classes.join(" ");
  fill(node, props);
  add(node, children);
  return node;
}

/** The same in the SVG namespace. */
export function svg(tag, props = {}, ...children) {
  const [name, ...classes] = tag.split(".");
  const node = document.createElementNS("http://www.w3.org/2000/svg", name);
  if (classes.length) node.setAttribute("class", classes.join(" "));
  fill(node, props);
  add(node, children);
  return node;
}

function fill(node, props) {
  for (const [key, value] of Object.entries(props)) {
    if (value === undefined || value === null || value === false) continue;
    if (key.startsWith("on")) node.addEventListener(key.slice(2), value);
    else if (key === "style") Object.assign(node.style, value);
    else if (key === "value" || key === "checked" || key === "hidden") node[key] = value;
    else node.setAttribute(key, value === true ? "" : String(value));
  }
}

function add(node, children) {
  for (const child of children.flat(Infinity)) {
    if (child === null || child === undefined || child === false) continue;
    node.append(child instanceof Node ? child : String(child));
  }
}

/** Puts these children in place of all others, only when something is different. */
export function replace(node, ...children) {
  const fresh = document.createDocumentFragment();
  add(fresh, children);
  node.replaceChildren(fresh);
  return node;
}

let speaker = null;

/** Says something to a screen reader and in the line at the foot of the page. */
export function announce(words, kind = "note") {
  speaker ??= document.getElementById("said");
  if (!speaker) return;
  speaker.textContent = words;
  speaker.dataset.kind = words ? kind : "";
  clearTimeout(announce.timer);
  if (words && kind === "note") announce.timer = setTimeout(() => announce(""), 6000);
}

/** Text of a mark that needs no colour. */
export const MARKS = { pass: "✓", near: "△", fail: "✕", "not checked": "?", none: "" };

/** A ratio as people write it. */
export function ratio(value) {
  return value === null || value === undefined ? "" : value.toFixed(value < 0.995 ? 2 : value < 10 ? 2 : 1);
}
