// Ticks of pieces whose stick is not in the cut list any more: they count for nothing, and are named.

/** The name of a piece without the mark of its stick; names from before there were marks stay. */
export const nameOf = (item) => item.replace(/ #[0-9a-f]+(\.\d+)?$/, "");

/**
 * @param {Iterable<{list: string, item: string, done: boolean}>} ticks  of the whole job
 * @param {string} list @param {Iterable<string>} items  what the list holds now
 */
export function former(ticks, list, items) {
  const there = new Set(items);
  return [...ticks].filter((t) => t.list === list && t.done && !there.has(t.item)).map((t) => t.item);
}

/** Whether a piece of this name was ticked on a stick that is gone; `piece`: "NPS 4 STD post F3". */
export function wasTicked(gone, piece) {
  return gone.some((item) => nameOf(item) === piece || sameOld(nameOf(item), piece));
}

/** Old names had the number of the stick between section and piece: "NPS 4 STD 3 post F3". */
function sameOld(old, piece) {
  return [...old.matchAll(/ \d+(?= )/g)].some((m) => old.slice(0, m.index) + old.slice(m.index + m[0].length) === piece);
}

export const BEFORE = "ticked before the list changed";

/** One sentence over a list; empty when nothing is gone. */
export function goneWords(gone) {
  if (!gone.length) return "";
  const names = gone.slice(0, 6).map(nameOf).join(", ") + (gone.length > 6 ? " and others" : "");
  const one = gone.length === 1;
  return `${gone.length} ${one ? "piece was" : "pieces were"} ticked before the list changed, on ${one ? "a stick" : "sticks"} that ${one ? "is" : "are"} now cut otherwise: ${names}. `
    + "Measure what was sawn before you saw again.";
}
