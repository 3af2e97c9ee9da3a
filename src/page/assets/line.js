// Changes as lines, written as on the command line. Rows and columns count from 1 there, from 0 here.

// Words with a meaning of their own in a line: a name like them is quoted.
const KEPT = /^(in|by-hand|from|as|at|left|right|up|down|to|of|mirrored)$/;
const quote = (name) => (/^[^\s",\\]+$/.test(name) && !KEPT.test(name) ? name : `"${name.replace(/(["\\])/g, "\\$1")}"`);

function said(value) {
  if (Array.isArray(value)) return value.map(said).join(" ");
  if (typeof value === "string") return quote(value);
  return value?.words ?? (value?.row === undefined ? (value ?? "") : `${value.row + 1},${value.column + 1}`);
}

// A line of words, with names and pegs as values: line`fill ${place} ${bead}`.
export const line = (words, ...values) => String.raw({ raw: words }, ...values.map(said));

export const plain = (words) => ({ words });

// Where a part is open: what is laid goes into it.
export const within = (part) => (part === undefined ? undefined : { words: ` in ${quote(part)}` });

// The words of a line, quotes taken off.
export const split = (whole) => [...whole.matchAll(/"((?:[^"\\]|\\.)*)"|(\S+)/g)].map((found) => (found[1] === undefined ? found[2] : found[1].replace(/\\(.)/g, "$1")));
