// Sentences: what a screen reader says and what a maker reads are one.
import { split } from "./line.js";

export const percent = (share) => `${Math.round(share * 100)} %`;
export const count = (number, one, many = `${one}s`) => `${number} ${number === 1 ? one : many}`;
export const beadName = (bead) => bead ?? "no bead";
export const where = ({ row, column }) => `Row ${row + 1}, column ${column + 1}`;
const lowerFirst = (words) => words.charAt(0).toLowerCase() + words.slice(1);

/** One peg: "row 4, column 6, bone, 41 % sure, runner-up blush". */
export function pegWords(place, cell, bead, doubt) {
  const at = lowerFirst(where(place));
  if (!cell) return `${at}, empty peg${doubt ? `, ${sureWords(doubt)}` : ""}`;
  if (cell.h) return `${at}, ${bead}, settled by hand`;
  if (doubt) return `${at}, ${bead}, ${sureWords(doubt)}`;
  return cell.s === null || cell.s === undefined ? `${at}, ${bead}` : `${at}, ${bead}, ${percent(cell.s)} sure`;
}

function sureWords(doubt) {
  const sure = doubt.sure === null ? "unsure" : `${percent(doubt.sure)} sure`;
  const second = doubt.others[0];
  return second ? `${sure}, runner-up ${beadName(second.bead)}` : sure;
}

/** How many questions are left: "12 doubts left". */
export function leftWords({ decisions, asked }) {
  if (decisions.length) return `${count(decisions.length, "doubt")} left`;
  return asked ? "All doubts settled" : "No doubts";
}

/** A bead's number against what is owned: "12 laid, 28 left". */
export function ownedWords({ needed, left, short, tried }) {
  if (tried) return `${needed ? `${needed} laid, ` : ""}not owned`;
  const laid = needed ? [`${needed} laid`] : [];
  if (short > 0) laid.push(`${short} short`);
  else if (left !== null) laid.push(`${left} left`);
  return laid.join(", ");
}

/** A bead of which there are too few: "poppy runs out: 9 needed, 4 owned". */
export const shortWords = ({ bead, needed, owned }) =>
  owned ? `${bead} runs out: ${needed} needed, ${owned} owned` : `${bead} is not owned: ${needed} needed`;

/** A place, `4,6`, or a block of them, `11-14,1-2`. */
const PEG = /^(-?\d+)(?:-(-?\d+))?,(-?\d+)(?:-(-?\d+))?$/;

/** How many pegs a place has. */
function pegsOf(word) {
  const [, top, bottom = top, left, right = left] = word.match(PEG);
  return (Math.abs(bottom - top) + 1) * (Math.abs(right - left) + 1);
}

/** A step as a maker would tell it: "moss on row 4, column 6". */
export function stepWords(line) {
  const words = split(line);
  const places = words.filter((word, at) => at > 0 && PEG.test(word));
  const rest = words.filter((word, at) => at > 0 && !PEG.test(word));
  const pegs = places.reduce((sum, word) => sum + pegsOf(word), 0);
  const at = pegs === 1 ? spot(places[0]) : count(pegs, "peg");
  // Where things go is the last place of its line.
  const from = count(pegs - 1, "peg");
  const beads = rest.includes("in") ? rest.slice(0, rest.indexOf("in")) : rest;
  const told = {
    place: () => `${beads.join(", ")} on ${at}`,
    lift: () => `${at} lifted`,
    keep: () => (places.length ? `${at} kept` : `${rest[0]} kept for its colour`),
    doubt: () => `${at} doubted again`,
    swap: () => `${rest[0]} swapped for ${rest[1]}${rest[2] === "in" ? ` in ${rest[3]}` : ""}`,
    shift: () => `${rest[0]} moved ${rest[1]} ${rest[2]}`,
    fill: () => `${rest[0]} on the patch at ${at}`,
    move: () => `${from} moved to ${spot(places.at(-1))}`,
    copy: () => `${from} copied to ${spot(places.at(-1))}`,
    mirror: () => `${rest[0] ?? at} mirrored`,
    "add-row": () => `a row more in ${rest[0]}`,
    "drop-row": () => `a row less in ${rest[0]}`,
    "add-column": () => `a column more${rest.length > 2 ? ` in ${rest[0]}` : ""}`,
    "drop-column": () => `a column less${rest.length > 2 ? ` in ${rest[0]}` : ""}`,
    part: () => `new part ${rest[0]}${pegs ? ` of ${at}` : ""}`,
    call: () => `part ${rest[0]} is ${rest[1]} now`,
    remove: () => `part ${rest[0]} removed`,
    over: () => `${rest[0]} laid over ${rest[1] ?? "the next part"}`,
    under: () => `${rest[0]} laid under ${rest[1] ?? "the next part"}`,
    take: () => `${rest[0]} taken from ${rest[2]}`,
    mark: () => `mark ${rest[0]} is ${rest[1]} now`,
    meant: () => `${rest[0]} is meant so`,
    "not-meant": () => `${rest[0]} is not meant so any more`,
    name: () => `named ${rest[0]}`,
    class: () => `height class ${rest[0]}`,
    stands: () => `stands ${rest[0]}`,
  }[words[0]];
  return told ? told() : line;
}

function spot(word) {
  const [row, column] = word.split(",");
  return `row ${row}, column ${column}`;
}
