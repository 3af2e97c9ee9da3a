// A bead laid or lifted by hand, in the part that is open. One that lies there already, by hand, is no change and no fault.
import { store, cellAt, beadAt, partNow } from "./store.js";
import { say } from "./dom.js";
import { lift, place } from "./line.js";

/** Whether what shows at a peg is of the open part; any is where none is open. */
const isOfOpen = (cell) => !!cell && (store.part === undefined || cell.p === partNow());

const liesThere = (bead) => ({ row, column }) => {
  const cell = cellAt(row, column);
  return beadAt(row, column) === bead && cell.h && isOfOpen(cell);
};

/** The line that lays `bead` on `places`, without those where it lies; null, and said, where it lies on all. */
export function placed(places, bead) {
  const fresh = places.filter((peg) => !liesThere(bead)(peg));
  if (fresh.length) return place(fresh, bead, store.part);
  say(`${bead} lies there already.`);
  return null;
}

/** The line that lifts what lies on `places`; null, and said where a part is open, where nothing does. */
export function lifted(places) {
  const own = places.filter(({ row, column }) => isOfOpen(cellAt(row, column)));
  if (own.length) return lift(own, store.part);
  if (store.part !== undefined) say(`No bead of ${store.part} lies there.`);
  return null;
}
