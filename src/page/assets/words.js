// Sentences: what a screen reader says and what a maker reads are one.
import { split } from "./line.js";

export const percent = (share) => `${Math.round(share * 100)} %`;
export const count = (number, one, many = `${one}s`) => `${number} ${number === 1 ? one : many}`;
export const beadName = (bead) => bead ?? "no bead";
export const where = ({ row, column }) => `Row ${row + 1}, column ${column + 1}`;
const changed = (words, change) => change.call(words.charAt(0)) + words.slice(1);
export const lowerFirst = (words) => changed(words, "".toLowerCase);
export const capital = (words) => changed(words, "".toUpperCase);
export const spaced = (name) => name.replace(/-/g, " ");

// One peg: "row 4, column 6, bone, 41 % sure, runner-up blush".
export function pegWords(place, cell, bead, doubt) {
  const sure = doubt ? `, ${sureWords(doubt)}` : "";
  const is = !cell ? `empty peg${sure}` : bead + (cell.h ? ", settled by hand" : sure || (cell.s === null ? "" : `, ${percent(cell.s)} sure`));
  return `${lowerFirst(where(place))}, ${is}`;
}

function sureWords({ sure, others: [second] }) {
  return `${sure === null ? "unsure" : `${percent(sure)} sure`}${second ? `, runner-up ${beadName(second.bead)}` : ""}`;
}

export const leftWords = ({ decisions, asked, all = [] }) => (decisions.length ? `${count(decisions.length, "doubt")} left` : all.length ? "What matters most is settled" : asked ? "All doubts settled" : "No doubts");

// About as many questions are worth a maker's while.
const MOST_ASKED = 10;

// The dearest of questions that come so ordered.
export const dearest = (decisions) => decisions.slice(0, MOST_ASKED);

// A bead's number against what is owned: "12 laid, 28 left".
export function ownedWords({ needed, left, short, tried }) {
  const rest = tried ? "not owned" : short > 0 ? `${short} short` : left !== null && `${left} left`;
  return [needed && `${needed} laid`, rest].filter(Boolean).join(", ");
}

// A bead of which there are too few: "poppy runs out: 9 needed, 4 owned".
export const shortWords = ({ bead, needed, owned }) => (owned ? `${bead} runs out: ${needed} needed, ${owned} owned` : `${bead} is not owned: ${needed} needed`);

// A place, `4,6`, or a block of them, `11-14,1-2`.
const PEG = /^(-?\d+)(?:-(-?\d+))?,(-?\d+)(?:-(-?\d+))?$/;

function pegsOf(word) {
  const [, top, bottom = top, left, right = left] = word.match(PEG);
  return (Math.abs(bottom - top) + 1) * (Math.abs(right - left) + 1);
}

// A step as a maker would tell it: "moss on row 4, column 6".
export function stepWords(line) {
  const [does, ...words] = split(line);
  const places = words.filter((word) => PEG.test(word));
  const rest = words.filter((word) => !PEG.test(word));
  const [one, two, three] = rest;
  const pegs = places.reduce((sum, word) => sum + pegsOf(word), 0);
  const at = pegs === 1 ? spot(places[0]) : count(pegs, "peg");
  // Where things go is the last place of its line.
  const gone = (how) => `${count(pegs - 1, "peg")} ${how} to ${spot(places.at(-1))}`;
  const inside = rest.indexOf("in");
  const over = (how) => `${one} laid ${how} ${two ?? "the next part"}`;
  const change = (kind, how) => `a ${kind} ${how}${kind === "row" || three ? ` in ${one}` : ""}`;
  const told = {
    place: () => `${(inside < 0 ? rest : rest.slice(0, inside)).join(", ")} on ${at}`,
    lift: () => `${at} lifted`,
    keep: () => (pegs ? `${at} kept` : `${one} kept for its colour`),
    doubt: () => `${at} doubted again`,
    swap: () => `${one} swapped for ${two}${three === "in" ? ` in ${rest[3]}` : ""}`,
    shift: () => `${one} moved ${two} ${three}`,
    fill: () => `${one} on the patch at ${at}`,
    move: () => gone("moved"),
    copy: () => gone("copied"),
    mirror: () => `${one ?? at} mirrored`,
    "add-row": () => change("row", "more"),
    "drop-row": () => change("row", "less"),
    "add-column": () => change("column", "more"),
    "drop-column": () => change("column", "less"),
    part: () => `new part ${one}${pegs ? ` of ${at}` : ""}`,
    call: () => `part ${one} is ${two} now`,
    remove: () => `part ${one} removed`,
    over: () => over("over"),
    under: () => over("under"),
    take: () => `${one} taken from ${three}`,
    mark: () => `mark ${one} is ${two} now`,
    meant: () => `${one} is meant so`,
    "not-meant": () => `${one} is not meant so any more`,
    name: () => `named ${one}`,
    class: () => `height class ${one}`,
    stands: () => `stands ${one}`,
  }[does];
  return told ? told() : line;
}

const spot = (word) => word.replace(/(.*),(.*)/, "row $1, column $2");
