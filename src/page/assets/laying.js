// A bead laid or lifted by hand, in the part that is open. One that lies there already, by hand, is no change and no fault.
import { store, cellAt, beadAt } from "./store.js";
import { say } from "./dom.js";
import { lift, place } from "./line.js";

/** Whether what shows at a peg is of a part; any is where none is named. */
const isOf = (part, cell) => !!cell && (part === undefined || store.table.parts[cell.p].name === part);

/** An answer to a question is for what lies there, whatever part is open. */
const partFor = (isAnswer) => (isAnswer ? undefined : store.part);

/** The line that lays `bead` on `places`, without those where it lies; null, and said, where it lies on all. */
export function placed(places, bead, isAnswer = false) {
  const part = partFor(isAnswer);
  const liesThere = (cell, { row, column }) => beadAt(row, column) === bead && cell.h && isOf(part, cell);
  const fresh = places.filter((peg) => !liesThere(cellAt(peg.row, peg.column), peg));
  if (fresh.length) return place(fresh, bead, part);
  say(`${bead} lies there already.`);
  return null;
}

/** The line that lifts what lies on `places`; null where nothing does, and said where a part is open. */
export function lifted(places, isAnswer = false) {
  const part = partFor(isAnswer);
  const own = places.filter(({ row, column }) => isOf(part, cellAt(row, column)));
  if (own.length) return lift(own, part);
  if (part !== undefined) say(`No bead of ${part} lies there.`);
  return null;
}
