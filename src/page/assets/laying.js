// A bead laid by hand. One that lies there already, by hand, is no change and no fault.
import { store, cellAt, beadAt } from "./store.js";
import { say } from "./dom.js";
import { place } from "./line.js";

const isOpen = (cell) => store.part === undefined || store.table.parts[cell.p].name === store.part;
const liesThere = (bead) => ({ row, column }) => {
  const cell = cellAt(row, column);
  return beadAt(row, column) === bead && !!cell?.h && isOpen(cell);
};

/** The line that lays `bead` on `places`, without those where it lies; null, and said, where it lies on all. */
export function placed(places, bead) {
  const fresh = places.filter((peg) => !liesThere(bead)(peg));
  if (fresh.length) return place(fresh, bead, store.part);
  say(`${bead} lies there already.`);
  return null;
}
