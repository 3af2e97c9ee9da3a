// What is chosen on the figure, and what is done with all of it in one step: moved, copied, mirrored, filled, made a part.
import { say } from "./dom.js";
import { store, go, change, key, pegs, beadAt, tellAll } from "./store.js";
import { count } from "./words.js";
import * as line from "./line.js";

const beside = ({ row, column }) => [[-1, 0], [1, 0], [0, -1], [0, 1]].map(([down, right]) => ({ row: row + down, column: column + right }));
const inside = ({ row, column }) => row >= 0 && column >= 0 && row < store.table.rows && column < store.table.columns;
const hasBead = ({ row, column }) => beadAt(row, column) !== null;

/** The pegs that show the same bead as this one and touch by their sides. */
export function patchAt(from) {
  const bead = beadAt(from.row, from.column);
  const found = new Map([[key(from.row, from.column), from]]);
  for (const place of found.values()) {
    for (const next of beside(place)) {
      const at = key(next.row, next.column);
      if (inside(next) && !found.has(at) && beadAt(next.row, next.column) === bead) found.set(at, next);
    }
  }
  return [...found.values()];
}

/** Chooses all that touches a peg and is of its bead. */
export function choosePatch(from = store.at) {
  const patch = patchAt({ row: from.row, column: from.column });
  go(from.row, from.column, patch);
  say(`${count(patch.length, "peg")} chosen.`);
}

/** Chooses every bead of the figure. */
export function chooseAll() {
  const all = store.table.beads.flatMap((row, r) => row.map((_, c) => ({ row: r, column: c }))).filter(hasBead);
  go(store.at.row, store.at.column, all);
  say(`${count(all.length, "bead")} chosen.`);
}

/** Chooses nothing any more. */
export const chooseNone = () => go(store.at.row, store.at.column);

/** The corner that a choice of pegs begins at, until its other corner is pressed. */
export function chooseFrom(place) {
  store.corner = place;
  say("Press the peg at the other corner.");
  tellAll("at");
}

const firstOf = (places) => ({ row: Math.min(...places.map((place) => place.row)), column: Math.min(...places.map((place) => place.column)) });
const moved = ({ row, column }, by) => ({ row: row + by.down, column: column + by.right });

/** Every change goes to the peg it is read at; what it lays before the first peg pushes all others on. */
const pushed = (to) => ({ down: Math.max(0, -to.row), right: Math.max(0, -to.column) });

async function carried(make, places, by, spoken) {
  const first = firstOf(places);
  const to = moved(first, by);
  if (!(await change(() => make(places, to), spoken))) return false;
  const push = pushed(to);
  const there = places.map((place) => moved(moved(place, by), push));
  const at = moved(moved(store.at, by), push);
  go(at.row, at.column, there);
  return true;
}

/** What is chosen lies elsewhere until it is put down: shown, and not done yet. */
let carry = null;

export const isCarrying = () => !!carry;

/** Carries what is chosen so far from where it lies. */
export function carryTo(by) {
  const places = pegs().filter(hasBead);
  if (!places.length) return;
  carry = { places, by };
  const ghost = new Map(places.map((place) => [key(place.row, place.column), null]));
  for (const place of places) {
    const to = moved(place, by);
    ghost.set(key(to.row, to.column), beadAt(place.row, place.column));
  }
  store.ghost = ghost;
  tellAll("ghost");
}

/** A peg further. */
export function nudge(down, right) {
  const by = carry?.by ?? { down: 0, right: 0 };
  carryTo({ down: by.down + down, right: by.right + right });
}

/** Puts down what is carried; `twice` leaves it where it was as well. */
export async function putDown(twice = false) {
  if (!carry) return;
  const { places, by } = carry;
  leave();
  if (!by.down && !by.right) return;
  if (twice) await carried((from, to) => line.copy(from, to, false, store.part), places, by, `${count(places.length, "bead")} copied.`);
  else await carried((from, to) => line.move(from, to), places, by, `${count(places.length, "bead")} moved.`);
}

/** What is carried stays where it was. */
export function leave() {
  carry = null;
  store.ghost = new Map();
  tellAll("ghost");
}

let kept = null;

/** What can be laid again: copied, or cut and gone once it is laid. */
export const hasCopy = () => !!kept;

const look = (places) => places.map(({ row, column }) => beadAt(row, column));

export function copy(cut = false) {
  const places = pegs().filter(hasBead);
  if (!places.length) return say("There is no bead to copy.");
  kept = { file: store.table.file, places, look: look(places), cut };
  say(`${count(places.length, "bead")} ${cut ? "cut: they go when they are laid again" : "copied"}.`);
  tellAll("at");
}

/** Lays the copy so that its first corner is where the maker is. */
export async function paste(mirrored = false) {
  if (!kept) return say("Nothing was copied yet.");
  const { places, cut } = kept;
  const first = firstOf(places);
  const by = { down: store.at.row - first.row, right: store.at.column - first.column };
  const isThere = kept.file === store.table.file && String(look(places)) === String(kept.look);
  const make = (from, to) => {
    if (!isThere) return asBeads(kept, by, mirrored);
    return cut ? line.move(from, to, mirrored) : line.copy(from, to, mirrored, store.part);
  };
  go(first.row, first.column);
  if ((await carried(make, places, by, `${count(places.length, "bead")} laid.`)) && cut && isThere) kept = null;
}

/** A copy of what is no longer there, or of another figure: bead by bead, as it was. */
function asBeads({ places, look: beads }, by, mirrored) {
  const columns = places.map((place) => place.column);
  const turn = Math.min(...columns) + Math.max(...columns);
  const of = Map.groupBy(places.map((place, at) => ({ ...moved(mirrored ? { ...place, column: turn - place.column } : place, by), bead: beads[at] })), (place) => place.bead);
  return line.placeSeveral([...of].map(([bead, there]) => [there, bead]), store.part);
}

/** Left and right of what is chosen change places. */
export const mirror = () => (pegs().some(hasBead) ? change(() => line.mirrorThese(pegs()), "Mirrored.") : say("There is no bead to mirror."));

/** Fills the patch about a peg. */
export const fill = (bead, place = store.at) => change(() => (beadAt(place.row, place.column) === bead ? null : line.fill(place, bead, store.part)), `${bead} on the patch.`);
