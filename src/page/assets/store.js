// What the page knows: the table as it is on disk, where the maker is, and the queue of changes.
import { tell, get } from "./wire.js";
import { say, sayNow } from "./dom.js";
import { shortWords } from "./words.js";

export const store = {
  /** The answer of the program, as it is on disk. */
  table: null,
  /** The peg the maker is at, counted from 0; margin pegs are -1 and one past the last. */
  at: { row: 0, column: 0 },
  /** Pegs chosen together; empty where it is `at` alone. */
  chosen: [],
  /** The bead in the hand, or null. */
  hand: null,
  /** Parts not shown, by name. */
  hidden: new Set(),
  /** Beads that can be tried only: none of them is owned. */
  notOwned: new Set(),
  /** Beads pointed out on the figure, as keys of pegs. */
  pointed: new Set(),
  /** How it is seen: one of `seeing.js`. */
  way: "plain",
  /** Beads shown that do not lie there: carried, or what a choice would lay. Names by peg, null for none. */
  ghost: new Map(),
  /** How many times as large as fit beads are shown. */
  zoom: 1,
  /** The corner that a choice of pegs begins at, or null. */
  corner: null,
  /** The part that is open: beads are laid into it; undefined where each goes to the one that shows there. */
  part: undefined,
  /** Whether the picture lies under the beads. */
  under: false,
  /** Names of beads by mark, colours by bead, doubts by peg: found once a table. */
  beadOf: new Map(),
  hexOf: new Map(),
  doubtAt: new Map(),
  /** Decisions by each of their pegs, the dearest first. */
  decisionsAt: new Map(),
};

export const key = (row, column) => `${row},${column}`;
const listeners = [];
const clashes = [];

/** Calls `listener(store, topics)` after a change; topics: table, at, hand, parts, pointed, ghost, way, under. */
export function watch(listener) {
  listeners.push(listener);
}

/** Whoever settles what another program wrote meanwhile. */
export function onClash(settle) {
  clashes.push(settle);
}

export function tellAll(...topics) {
  for (const listener of listeners) listener(store, new Set(topics));
}

/** Lays down a table as it came. */
export function setTable(table, ...topics) {
  store.table = table;
  store.beadOf = new Map(table.legend.map((entry) => [entry.mark, entry.bead]));
  store.hexOf = new Map([...table.legend, ...table.tray].map((entry) => [entry.bead, `#${entry.hex}`]));
  store.notOwned = new Set([...table.legend, ...table.tray].filter((entry) => entry.tried).map((entry) => entry.bead));
  store.doubtAt = new Map(table.doubts.map((doubt) => [key(doubt.row, doubt.column), doubt]));
  store.decisionsAt = decisionsByPeg(table);
  store.chosen = store.chosen.filter(inside);
  if (!inside(store.at)) store.at = { row: clamp(store.at.row, table.rows), column: clamp(store.at.column, table.columns) };
  const parts = new Set(table.parts.map((part) => part.name));
  for (const name of store.hidden) if (!parts.has(name)) store.hidden.delete(name);
  if (!parts.has(store.part)) store.part = undefined;
  tellAll("table", ...topics);
}

/** Pegs come as pairs; everything here calls them by row and column. */
function decisionsByPeg(table) {
  const at = new Map();
  for (const decision of table.decisions) {
    decision.pegs = decision.pegs.map((peg) => (Array.isArray(peg) ? { row: peg[0], column: peg[1] } : peg));
    for (const { row, column } of decision.pegs) at.set(key(row, column), [...(at.get(key(row, column)) ?? []), decision]);
  }
  return at;
}

const clamp = (value, length) => Math.min(Math.max(value, -1), length);
const inside = ({ row, column }) =>
  row >= -1 && column >= -1 && row <= store.table.rows && column <= store.table.columns;

/** The bead's cell at a peg, with hidden parts left out; null for an empty peg. */
export function cellAt(row, column) {
  const cell = store.table.beads[row]?.[column] ?? null;
  if (!cell || !store.hidden.size) return cell;
  const parts = store.table.parts;
  if (!store.hidden.has(parts[cell.p].name)) return cell;
  for (let p = cell.p - 1; p >= 0; p -= 1) {
    const mark = parts[p].beads[row - parts[p].first_row]?.[column - parts[p].first_column];
    if (mark && mark !== "." && !store.hidden.has(parts[p].name)) return { m: mark, s: null, p };
  }
  return null;
}

export const beadAt = (row, column) => store.beadOf.get(cellAt(row, column)?.m) ?? null;

/** The mark of a bead, or nothing where the figure has none yet. */
export const markOf = (bead) => store.table.legend.find((entry) => entry.bead === bead)?.mark ?? "";

/** The place of the open part among the parts, or -1. */
export const partNow = () => store.table.parts.findIndex((part) => part.name === store.part);

/** Moves to a peg; `chosen` are pegs taken together with it. */
export function go(row, column, chosen = []) {
  store.at = { row, column };
  store.chosen = chosen;
  tellAll("at");
}

/** The pegs a change is meant for. */
export const pegs = () => (store.chosen.length ? store.chosen : [store.at]);

const others = "BroadcastChannel" in globalThis ? new BroadcastChannel("smallcast") : null;
let tail = Promise.resolve();
let busy = 0;

function queued(work) {
  busy += 1;
  tellAll("saving");
  const done = tail.then(work).catch(failed).finally(() => {
    busy -= 1;
    tellAll("saving");
  });
  tail = done;
  return done;
}

export const isBusy = () => busy > 0;

function failed(trouble) {
  store.trouble = trouble;
  tellAll("trouble");
  sayNow(trouble.words);
  return false;
}

/**
 * Makes a change. `make` gives its line when its turn comes, so that quick keys each meet the figure as it is then;
 * null makes none. True once it is on disk.
 */
export function change(make, spoken) {
  return queued(async () => {
    const line = typeof make === "function" ? make() : make;
    if (!line?.length) return false;
    return exchange("/api/edit", { do: line }, [line].flat(), spoken);
  });
}

export const undo = (steps = 1) => queued(() => store.table.undo !== null && exchange("/api/undo", { steps }, []));
export const redo = (steps = 1) => queued(() => store.table.redo !== null && exchange("/api/redo", { steps }, []));

async function exchange(path, body, lines, spoken) {
  const { file, version } = store.table;
  const short = new Set(store.table.count.short.map((entry) => entry.bead));
  let table;
  try {
    table = await tell(path, { file, version, ...body });
  } catch (trouble) {
    if (trouble.status !== 409) throw trouble;
    table = await settle(trouble.body?.changed?.table, lines);
    if (!table) return false;
  }
  store.trouble = null;
  setTable(table, "trouble");
  others?.postMessage({ file, version: table.version });
  const out = table.count.short.find((entry) => !short.has(entry.bead));
  if (out) sayNow(`${shortWords(out)}.`);
  else if (spoken) say(spoken);
  return true;
}

async function settle(theirs, lines) {
  const file = store.table.file;
  const disk = theirs ?? (await get("/api/figure", file));
  for (const ask of clashes) {
    const take = await ask(store.table, disk, lines);
    if (take.take === "disk") return take.lines?.length ? layOn(disk, take.lines) : disk;
    return tell("/api/answer", { file, version: disk.version, take: "page", do: take.lines });
  }
  return disk;
}

async function layOn(disk, lines) {
  let table = disk;
  for (const line of lines) {
    table = await tell("/api/edit", { file: disk.file, version: table.version, do: line });
  }
  return table;
}

async function compare() {
  const { file, version } = store.table;
  let now;
  try {
    now = await get(`/api/version?shown=${version}&file=${encodeURIComponent(file)}`);
  } catch (trouble) {
    failed(trouble);
    return;
  }
  if (store.trouble?.status === 0) {
    store.trouble = null;
    tellAll("trouble");
  }
  if (now.version === version || store.table.version !== version) return;
  // A step made in another window of this page needs no question.
  if (now.made_here) return follow(file, now.version);
  await queued(async () => {
    if (store.table.file !== file || store.table.version !== version) return;
    const table = await settle(undefined, []);
    if (table) setTable(table);
  });
}

let looking = false;
const LOOK_EVERY = 1500;

/** Looks from time to time whether another program changed the file. */
export function lookForChanges() {
  if (looking) return;
  looking = true;
  const look = async () => {
    if (store.table?.version && !busy && document.visibilityState === "visible") await compare();
    setTimeout(look, LOOK_EVERY);
  };
  setTimeout(look, LOOK_EVERY);
  others?.addEventListener("message", ({ data }) => {
    if (data.file === store.table?.file) follow(data.file, data.version);
  });
}

/** Shows what another window of this page made of the figure. */
const follow = (file, version) => queued(async () => {
  if (file !== store.table.file || version === store.table.version) return;
  const isAsked = () => store.decisionsAt.has(key(store.at.row, store.at.column));
  const wasDoubt = isAsked();
  setTable(await get("/api/figure", file));
  say("Changed in another window; shown as it is now.");
  // A doubt settled there leaves its place to the next, as one settled here does.
  const next = store.table.decisions[0]?.pegs[0];
  if (wasDoubt && next && !isAsked()) go(next.row, next.column);
});
