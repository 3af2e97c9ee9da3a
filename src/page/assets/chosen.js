// What is laid and lifted, and what is done in one step with all that is chosen.
import { say } from "./dom.js";
import { store, go, change, keyOf, pegs, allPegs, cellAt, beadAt, hasBead, tellAll } from "./store.js";
import { count } from "./words.js";
import { line, plain, within } from "./line.js";

// Whether what shows at a peg is of a part; any is where none is named.
const isOf = (part, cell) => !!cell && (part === undefined || store.table.parts[cell.p].name === part);

// An answer to a question is for what lies there, whatever part is open.
const partFor = (isAnswer) => (isAnswer ? undefined : store.part);

// The line that lays a bead, but where it lies by hand; null, and said, where it does.
export function placed(places, bead, isAnswer = false) {
  const part = partFor(isAnswer);
  const fresh = places.filter((peg) => !(beadAt(peg) === bead && cellAt(peg).h && isOf(part, cellAt(peg))));
  if (fresh.length) return line`place ${fresh} ${bead}${within(part)}`;
  say(`${bead} lies there already.`);
  return null;
}

// The line that lifts what lies there; null where nothing does, and said where a part is open.
export function lifted(places, isAnswer = false) {
  const part = partFor(isAnswer);
  const own = places.filter((peg) => isOf(part, cellAt(peg)));
  if (own.length) return line`lift ${own}${within(part)}`;
  if (part !== undefined) say(`No bead of ${part} lies there.`);
  return null;
}

function patchAt(from) {
  const bead = beadAt(from);
  const found = new Map([[keyOf(from), from]]);
  for (const { row, column } of found.values()) {
    for (const [down, right] of [[-1, 0], [1, 0], [0, -1], [0, 1]]) {
      const next = { row: row + down, column: column + right };
      if (store.table.beads[next.row]?.[next.column] !== undefined && !found.has(keyOf(next)) && beadAt(next) === bead) found.set(keyOf(next), next);
    }
  }
  return [...found.values()];
}

export function choosePatch({ row, column } = store.at) {
  const patch = patchAt({ row, column });
  go({ row, column }, patch);
  say(`${count(patch.length, "peg")} chosen.`);
}

export function chooseAll() {
  const all = allPegs().filter(hasBead);
  go(store.at, all);
  say(`${count(all.length, "bead")} chosen.`);
}

export const chooseNone = () => go(store.at);

// The corner that a choice of pegs begins at, until its other corner is pressed.
export function chooseFrom(place) {
  store.corner = place;
  say("Press the peg at the other corner.");
  tellAll("at");
}

const firstOf = (places) => ({ row: Math.min(...places.map((place) => place.row)), column: Math.min(...places.map((place) => place.column)) });
const moved = ({ row, column }, by) => ({ row: row + by.down, column: column + by.right });

async function carried(make, places, by, spoken) {
  const to = moved(firstOf(places), by);
  // What is laid before the first peg pushes all others on.
  const push = { down: Math.max(0, -to.row), right: Math.max(0, -to.column) };
  const there = (place) => moved(moved(place, by), push);
  const at = there(store.at);
  if (!(await change(() => make(places, to), spoken))) return false;
  go(at, places.map(there));
  return true;
}

// What is carried is shown elsewhere until it is put down, and not done yet.
let carry = null;

export const isCarrying = () => !!carry;

export function carryTo(by) {
  const places = pegs().filter(hasBead);
  if (!places.length) return;
  carry = { places, by };
  store.ghost = new Map([...places.map((place) => [keyOf(place), null]), ...places.map((place) => [keyOf(moved(place, by)), beadAt(place)])]);
  tellAll("ghost");
}

export function nudge(down, right) {
  const by = carry?.by ?? { down: 0, right: 0 };
  carryTo({ down: by.down + down, right: by.right + right });
}

const way = (mirrored) => plain(mirrored ? " mirrored" : "");
const moving = (from, to, mirrored) => line`move ${from} to ${to}${way(mirrored)}`;
const copying = (from, to, mirrored) => line`copy ${from} to ${to}${way(mirrored)}${within(store.part)}`;

// Puts down what is carried; `twice` leaves it where it was as well.
export async function putDown(twice = false) {
  if (!carry) return;
  const { places, by } = carry;
  leave();
  if (by.down || by.right) await carried(twice ? copying : moving, places, by, `${count(places.length, "bead")} ${twice ? "copied" : "moved"}.`);
}

export function leave() {
  carry = null;
  store.ghost = new Map();
  tellAll("ghost");
}

// What can be laid again: copied, or cut and gone once it is laid.
let kept = null;

export const hasCopy = () => !!kept;

export function copy(cut = false) {
  const places = pegs().filter(hasBead);
  if (!places.length) return say("There is no bead to copy.");
  kept = { file: store.table.file, places, look: places.map(beadAt), cut };
  say(`${count(places.length, "bead")} ${cut ? "cut: they go when they are laid again" : "copied"}.`);
  tellAll("at");
}

export async function paste(mirrored = false) {
  if (!kept) return say("Nothing was copied yet.");
  const { places, cut, file, look } = kept;
  const first = firstOf(places);
  const by = { down: store.at.row - first.row, right: store.at.column - first.column };
  const isThere = file === store.table.file && `${places.map(beadAt)}` === `${look}`;
  const make = (from, to) => (isThere ? (cut ? moving : copying)(from, to, mirrored) : asBeads(kept, by, mirrored));
  go(first);
  if ((await carried(make, places, by, `${count(places.length, "bead")} laid.`)) && cut && isThere) kept = null;
}

// What is no longer there, or of another figure: bead by bead.
function asBeads({ places, look }, by, mirrored) {
  const columns = places.map((place) => place.column);
  const turn = Math.min(...columns) + Math.max(...columns);
  const there = places.map((place, at) => [look[at], moved(mirrored ? { ...place, column: turn - place.column } : place, by)]);
  const laid = [...Map.groupBy(there, ([bead]) => bead)].map(([bead, pairs]) => line`${pairs.map(([, peg]) => peg)} ${bead}`);
  return line`place ${plain(laid.join(" "))}${within(store.part)}`;
}

export const mirror = () => (pegs().some(hasBead) ? change(() => line`mirror ${pegs()}`, "Mirrored.") : say("There is no bead to mirror."));

export const fill = (bead, place = store.at) => change(() => (beadAt(place) === bead ? null : line`fill ${place} ${bead}${within(store.part)}`), `${bead} on the patch.`);
