// A bead laid by hand. One that lies there already, by hand, is no change and no fault.
import { cellAt, beadAt } from "./store.js";
import { say } from "./dom.js";
import { place } from "./line.js";

const liesThere = (bead) => ({ row, column }) => beadAt(row, column) === bead && !!cellAt(row, column)?.h;

/** The line that lays `bead` on `places`, without those where it lies; null, and said, where it lies on all. */
export function placed(places, bead) {
  const fresh = places.filter((peg) => !liesThere(bead)(peg));
  if (fresh.length) return place(fresh, bead);
  say(`${bead} lies there already.`);
  return null;
}
