// What the page knows, and the queue of changes.
import { tell, get, wordsOf } from "./wire.js";
import { say, sayNow } from "./dom.js";
import { shortWords } from "./words.js";

export const store = {
  // The answer of the program, as it is on disk.
  table: null,
  // The peg the maker is at, from 0; margin pegs are -1 and one past the last.
  at: { row: 0, column: 0 },
  // Pegs chosen together; empty where it is `at` alone.
  chosen: [],
  // The bead in the hand, or null.
  hand: null,
  // Parts not shown, by name.
  hidden: new Set(),
  // Beads that can be tried only.
  notOwned: new Set(),
  // Beads pointed out, as keys of pegs.
  pointed: new Set(),
  // How it is seen: one of `seeing.js`.
  way: "plain",
  // Beads shown that do not lie there: carried, or what a choice would lay; null for none.
  ghost: new Map(),
  // How many times as large as fit beads are shown.
  zoom: 1,
  // The corner that a choice of pegs begins at, or null.
  corner: null,
  // The part beads are laid into; undefined where each goes to the one that shows there.
  part: undefined,
  // Whether the picture lies under the beads.
  under: false,
  // Questions that cost less than this are asked only if the maker wants them.
  least: 0,
  // Beads by mark, colours by bead, doubts and decisions by peg: found once a table.
  beadOf: new Map(),
  hexOf: new Map(),
  doubtAt: new Map(),
  decisionsAt: new Map(),
};

export const key = (row, column) => `${row},${column}`;
export const keyOf = (peg) => key(peg.row, peg.column);
const listeners = [];
let settleClash;

// Calls `does` after a change of any of these topics, once there is a table.
export const on = (topics, does) => listeners.push([topics.split(" "), does]);

// Whoever settles what another program wrote meanwhile.
export const onClash = (settle) => { settleClash = settle; };

export function tellAll(...topics) {
  if (store.table) for (const [wanted, does] of listeners) if (wanted.some((topic) => topics.includes(topic))) does(topics);
}

// Lays down a table as it came.
export function setTable(table, ...topics) {
  table.all ??= table.decisions.map((one) => ({ ...one, pegs: one.pegs.map(([row, column]) => ({ row, column })) }));
  table.decisions = table.all.filter((one) => !(one.cost < store.least));
  store.table = table;
  const beads = [...table.legend, ...table.tray];
  store.beadOf = new Map(table.legend.map((entry) => [entry.mark, entry.bead]));
  store.hexOf = new Map(beads.map((entry) => [entry.bead, `#${entry.hex}`]));
  store.notOwned = new Set(beads.filter((entry) => entry.tried).map((entry) => entry.bead));
  store.doubtAt = new Map(table.doubts.map((doubt) => [keyOf(doubt), doubt]));
  store.decisionsAt = Map.groupBy(table.decisions.flatMap((decision) => decision.pegs.map((peg) => [keyOf(peg), decision])), ([at]) => at);
  store.chosen = store.chosen.filter(inside);
  if (!inside(store.at)) store.at = { row: clamp(store.at.row, table.rows), column: clamp(store.at.column, table.columns) };
  const parts = new Set(table.parts.map((part) => part.name));
  for (const name of store.hidden) if (!parts.has(name)) store.hidden.delete(name);
  if (!parts.has(store.part)) store.part = undefined;
  tellAll("table", ...topics);
}

const clamp = (value, length) => Math.min(Math.max(value, -1), length);
const inside = ({ row, column }) => row === clamp(row, store.table.rows) && column === clamp(column, store.table.columns);

export const decisionsAt = (peg) => (store.decisionsAt.get(keyOf(peg)) ?? []).map(([, decision]) => decision);

// The bead's cell at a peg, hidden parts left out; null for an empty peg.
export function cellAt({ row, column }) {
  const cell = store.table.beads[row]?.[column] ?? null;
  const { parts } = store.table;
  if (!cell || !store.hidden.has(parts[cell.p].name)) return cell;
  for (let p = cell.p - 1; p >= 0; p -= 1) {
    const mark = markIn(parts[p], row, column);
    if (mark && !store.hidden.has(parts[p].name)) return { m: mark, s: null, p };
  }
  return null;
}

// The mark a part has at a peg; nothing where it has no bead.
export function markIn(part, row, column) {
  const mark = part.beads[row - part.first_row]?.[column - part.first_column];
  return mark === "." ? undefined : mark;
}

export const beadAt = (peg) => store.beadOf.get(cellAt(peg)?.m) ?? null;
export const hasBead = (peg) => cellAt(peg) !== null;

export const allPegs = () => store.table.beads.flatMap((cells, row) => cells.map((_, column) => ({ row, column })));

export const markOf = (bead) => store.table.legend.find((entry) => entry.bead === bead)?.mark ?? "";

export const partNow = () => store.table.parts.findIndex((part) => part.name === store.part);

export function go({ row, column }, chosen = []) {
  store.at = { row, column };
  store.chosen = chosen;
  tellAll("at");
}

export const pegs = () => (store.chosen.length ? store.chosen : [store.at]);

export const isSame = (one, other) => one.row === other.row && one.column === other.column;

const others = "BroadcastChannel" in globalThis ? new BroadcastChannel("smallcast") : null;
let tail = Promise.resolve();
let busy = 0;

function queued(work) {
  busy += 1;
  tellAll("saving");
  tail = tail.then(work).catch(failed).finally(() => {
    busy -= 1;
    tellAll("saving");
  });
  return tail;
}

export const isBusy = () => busy > 0;

// Something went wrong: it is shown and spoken.
export function failed(trouble) {
  store.trouble = trouble;
  tellAll("trouble");
  sayNow(wordsOf(trouble));
  return false;
}

/**
 * Makes a change. `make` gives its line when its turn comes, so that quick keys each meet the figure as it is then;
 * null makes none. True once it is on disk.
 */
export function change(make, spoken) {
  return queued(async () => {
    const made = typeof make === "function" ? make() : make;
    return made?.length ? exchange("/api/edit", { do: made }, [made].flat(), spoken) : false;
  });
}

export const undo = (steps = 1) => queued(() => store.table.undo !== null && exchange("/api/undo", { steps }, []));
export const redo = (steps = 1) => queued(() => store.table.redo !== null && exchange("/api/redo", { steps }, []));

async function exchange(path, body, lines, spoken) {
  const before = store.table;
  const { file, version } = before;
  const short = new Set(before.count.short.map((entry) => entry.bead));
  let table;
  try {
    table = await tell(path, { file, version, ...body });
  } catch (trouble) {
    if (trouble.status !== 409) throw trouble;
    table = await settle(trouble.body?.changed?.table, lines);
    if (!table) return false;
  }
  store.trouble = null;
  store.noted = table.note;
  // The maker's place goes along with its beads.
  const by = grown(before, table);
  if (by.row || by.column) {
    const along = (peg) => ({ row: peg.row + by.row, column: peg.column + by.column });
    store.at = along(store.at);
    store.chosen = store.chosen.map(along);
    if (store.corner) store.corner = along(store.corner);
  }
  setTable(table, "trouble", ...(by.row || by.column ? ["at"] : []));
  others?.postMessage({ file, version: table.version });
  const out = table.count.short.find((entry) => !short.has(entry.bead));
  if (out) sayNow(`${shortWords(out)}.`);
  if (table.note) say(table.note);
  else if (spoken && !out) say(spoken);
  return true;
}

// Rows about the maker's place whose beads are compared.
const ABOUT = 3;

// How far the beads about the maker's place went as the board grew or shrank.
function grown(before, after) {
  const bead = (table, row, column) => {
    const cell = table.beads[row]?.[column];
    return cell && table.legend.find((entry) => entry.mark === cell.m)?.bead;
  };
  const ways = (by) => Array.from({ length: Math.abs(by) + 1 }, (_, at) => at * Math.sign(by));
  let best = { row: 0, column: 0, alike: -1 };
  if (before.rows === after.rows && before.columns === after.columns) return best;
  for (const row of ways(after.rows - before.rows)) {
    for (const column of ways(after.columns - before.columns)) {
      let alike = 0;
      for (let r = store.at.row - ABOUT; r <= store.at.row + ABOUT; r += 1) {
        for (let c = 0; c < before.columns; c += 1) {
          const was = bead(before, r, c);
          if (was && was === bead(after, r + row, c + column)) alike += 1;
        }
      }
      if (alike > best.alike) best = { row, column, alike };
    }
  }
  return best;
}

async function settle(theirs, lines) {
  const { file } = store.table;
  const disk = theirs ?? (await get("/api/figure", file));
  const answer = await settleClash(store.table, disk, lines);
  if (answer.take === "page") return tell("/api/answer", { file, version: disk.version, take: "page", do: answer.lines });
  let table = disk;
  for (const one of answer.lines ?? []) table = await tell("/api/edit", { file, version: table.version, do: one });
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
    setTable(await settle(undefined, []));
  });
}

let looking = false;
const LOOK_EVERY = 1500;

// Looks from time to time whether another program changed the file.
export function lookForChanges() {
  if (looking) return;
  looking = true;
  const look = async () => {
    if (store.table?.version && !busy && document.visibilityState === "visible") await compare();
    setTimeout(look, LOOK_EVERY);
  };
  setTimeout(look, LOOK_EVERY);
  others?.addEventListener("message", ({ data }) => data.file === store.table?.file && follow(data.file, data.version));
}

// Shows what another window of this page made of the figure.
const follow = (file, version) => queued(async () => {
  if (file !== store.table.file || version === store.table.version) return;
  const isAsked = () => decisionsAt(store.at).length > 0;
  const wasDoubt = isAsked();
  setTable(await get("/api/figure", file));
  say("Changed in another window; shown as it is now.");
  // A doubt settled there leaves its place to the next, as one settled here does.
  const next = store.table.decisions[0]?.pegs[0];
  if (wasDoubt && next && !isAsked()) go(next);
});
