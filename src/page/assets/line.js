// Changes as lines, written just as on the command line. Rows and columns count from 1 there, from 0 here.

const quote = (name) => (/^[^\s",\\]+$/.test(name) ? name : `"${name.replace(/(["\\])/g, "\\$1")}"`);
const peg = ({ row, column }) => `${row + 1},${column + 1}`;
const pegs = (places) => places.map(peg).join(" ");
const within = (part) => (part === undefined ? "" : ` in ${quote(part)}`);

export const place = (places, bead, part) => `place ${pegs(places)} ${quote(bead)}${within(part)}`;
export const fill = (place, bead, part) => `fill ${peg(place)} ${quote(bead)}${within(part)}`;
/** `beads` are pairs of places and the bead that comes there. */
export const placeSeveral = (beads, part) =>
  `place ${beads.map(([places, bead]) => `${pegs(places)} ${quote(bead)}`).join(" ")}${within(part)}`;
const turned = (mirrored) => (mirrored ? " mirrored" : "");
export const move = (places, to, mirrored) => `move ${pegs(places)} to ${peg(to)}${turned(mirrored)}`;
export const copy = (places, to, mirrored, part) =>
  `copy ${pegs(places)} to ${peg(to)}${turned(mirrored)}${within(part)}`;
export const mirrorThese = (places) => `mirror ${pegs(places)}`;
export const lift = (places, part) => `lift ${pegs(places)}${within(part)}`;
export const keep = (places) => `keep ${pegs(places)}`;
export const keepBead = (bead) => `keep ${quote(bead)}`;
export const swap = (old, fresh, part, byHand) =>
  `swap ${quote(old)} ${quote(fresh)}${within(part)}${byHand ? " by-hand" : ""}`;
export const shift = (part, way, by) => `shift ${quote(part)} ${way} ${by}`;
export const mirror = (part) => `mirror ${quote(part)}`;
export const addRow = (zone, row) => `add-row ${zone}${row === undefined ? "" : ` ${row + 1}`}`;
export const dropRow = (zone, row) => `drop-row ${zone}${row === undefined ? "" : ` ${row + 1}`}`;
export const newPart = (name, places) => `part ${quote(name)}${places ? ` of ${pegs(places)}` : ""}`;
export const call = (part, name) => `call ${quote(part)} ${quote(name)}`;
export const remove = (part) => `remove ${quote(part)}`;
export const over = (part, other) => `over ${quote(part)}${other === undefined ? "" : ` ${quote(other)}`}`;
export const under = (part, other) => `under ${quote(part)}${other === undefined ? "" : ` ${quote(other)}`}`;
export const take = (part, file, name) => `take ${quote(part)} from ${quote(file)}${name === undefined ? "" : ` as ${quote(name)}`}`;
export const mark = (old, fresh) => `mark ${quote(old)} ${quote(fresh)}`;
export const rename = (name) => `name "${name.replace(/(["\\])/g, "\\$1")}"`;
export const reference = (picture) => `reference ${quote(picture)}`;
export const meant = (rule, where, why) =>
  `meant ${rule}${where ? ` ${peg(where)}` : ""} "${why.replace(/(["\\])/g, "\\$1")}"`;

/** The words of a line, quotes taken off. */
export function split(line) {
  return [...line.matchAll(/"((?:[^"\\]|\\.)*)"|(\S+)/g)].map((found) =>
    found[1] === undefined ? found[2] : found[1].replace(/\\(.)/g, "$1"),
  );
}
