// Where the page begins: let in, asked what is on the table, and shown.
import { $, h, text, say } from "./dom.js";
import { get, takeToken, wordsOf } from "./wire.js";
import { store, setTable, on, lookForChanges } from "./store.js";
import { leftWords } from "./words.js";
import * as board from "./board.js";
import * as picture from "./picture.js";
import * as seeing from "./seeing.js";
import * as doubts from "./doubts.js";
import * as zoom from "./zoom.js";
import * as colour from "./colour.js";
import * as tray from "./tray.js";
import * as findings from "./findings.js";
import * as parts from "./parts.js";
import * as rows from "./rows.js";
import * as size from "./size.js";
import * as steps from "./steps.js";
import * as outputs from "./outputs.js";
import * as clash from "./clash.js";
import * as help from "./help.js";
import * as keys from "./keys.js";
import { showShelf } from "./shelf.js";
import { showSketch } from "./sketch.js";

const AT = "smallcast.at";
let begun = null;

async function begin() {
  help.start();
  if (!takeToken()) {
    // Nothing else is shown: what is said is the page.
    document.body.append(h("main", {}, $("trouble")));
    return refuse("This page opens only from its full address. Open the address that the terminal shows; it holds a key made for this run.");
  }
  try {
    begun = await get("/api/start");
    for (const room of [seeing, board, zoom, picture, colour, doubts, tray, findings, parts, rows, size, steps, outputs, clash, keys]) room.start(begun);
    remember();
    $("to-shelf").addEventListener("click", () => { location.hash = ""; });
    $("skip").addEventListener("click", board.focusPeg);
    addEventListener("hashchange", route);
    await route();
  } catch (trouble) {
    refuse(wordsOf(trouble));
  }
}

function refuse(words) {
  $("trouble").hidden = false;
  text($("trouble"), words);
}

const openHash = (name) => (file) => { location.hash = `${name}=${encodeURIComponent(file)}`; };

async function route() {
  const asked = new URLSearchParams(location.hash.slice(1));
  try {
    const file = asked.get("figure") ?? (begun.kind === "figure" ? begun.file : null);
    if (file) return await openFigure(file);
    $("steps").hidden = true;
    $("progress").hidden = true;
    $("notes").replaceChildren();
    const drawn = asked.get("picture");
    if (begun.kind === "picture" || drawn) {
      screen("sketch");
      return await showSketch(drawn ? { ...begun, ...(await get("/api/size", drawn)), file: drawn } : begun, openHash("figure"));
    }
    screen("shelf");
    text($("title"), begun.folder);
    await showShelf(begun.classes, { figure: openHash("figure"), picture: openHash("picture") });
  } catch (trouble) {
    refuse(wordsOf(trouble));
  }
}

function screen(name) {
  for (const id of ["table", "shelf", "sketch"]) $(id).hidden = id !== name;
  $("to-shelf").hidden = name === "shelf" || begun.kind !== "shelf";
  $("skip").hidden = name !== "table";
  $("trouble").hidden = true;
}

// The first Tab goes to the first control.
function fromTheTop() {
  if (document.activeElement !== document.body) return;
  document.body.tabIndex = -1;
  document.body.focus({ preventScroll: true });
  document.body.removeAttribute("tabindex");
}

async function openFigure(file) {
  const table = await get("/api/figure", file);
  screen("table");
  store.hidden.clear();
  Object.assign(store, { hand: null, noted: null, part: undefined, pointed: new Set(), chosen: [] });
  const kept = JSON.parse(sessionStorage.getItem(AT) ?? "null");
  if (kept?.file === file) Object.assign(store, { at: kept.at, least: kept.least });
  else {
    const [row, column] = table.decisions[0]?.pegs[0] ?? [0, 0];
    store.at = { row, column };
    doubts.askDearest(table);
  }
  setTable(table, "hand", "at", "pointed", "parts");
  document.title = `${table.name} · smallcast`;
  fromTheTop();
  document.body.classList.add("ready");
  say(`${table.name}. ${leftWords(table)}.`);
  lookForChanges();
}

const PENDING_EVERY = 400;
let waiting = false;

// Windows and runners-up come a moment after the figure.
async function waitForReference() {
  if (waiting) return;
  waiting = true;
  while (store.table.reference?.pending) {
    await new Promise((done) => { setTimeout(done, PENDING_EVERY); });
    const { file, version, reference } = store.table;
    if (!reference?.pending) break;
    // A program that has ended is noticed by whoever looks for changes.
    const table = await get("/api/figure", file).catch(() => null);
    if (table?.version === version && store.table.version === version) setTable(table);
  }
  waiting = false;
}

// This outlasts a reload.
function remember() {
  on("at table", () => {
    const { at, least, table: { file, name, reference } } = store;
    sessionStorage.setItem(AT, JSON.stringify({ file, at, least }));
    text($("title"), name);
    if (reference?.pending) waitForReference();
  });
}

begin();
