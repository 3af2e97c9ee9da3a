// What is unsure, one place at a time, the least sure first: keep it, take what came second, or another bead.
import { $, h, text, say } from "./dom.js";
import { store, watch, go, change, key, pegs, cellAt, beadAt } from "./store.js";
import { keep, lift, place } from "./line.js";
import { closeUp, drawCloseUp } from "./closeup.js";
import { beadName, count, leftWords, percent, where } from "./words.js";
import { focusPeg, preview } from "./board.js";
import { askFor } from "./tray.js";
import { seen } from "./seeing.js";
import { inkOn } from "./draw.js";

const MOST_CHOICES = 4;

export function start() {
  $("before").addEventListener("click", () => step(-1));
  $("next").addEventListener("click", () => step(1));
  watch((_, topics) => {
    if (!store.table) return;
    if (["table", "at", "reference", "way", "parts"].some((topic) => topics.has(topic))) show();
    if (topics.has("table")) progress();
  });
}

const doubtNow = () => (store.chosen.length > 1 ? undefined : store.doubtAt.get(key(store.at.row, store.at.column)));

/** The doubt at a place in the order, worst first; the last one answered leaves its place to the next. */
let order = 0;

/** To the next doubt, or the one before. */
export function step(by) {
  const doubts = store.table.doubts;
  if (!doubts.length) return;
  const now = doubts.findIndex((doubt) => doubt.row === store.at.row && doubt.column === store.at.column);
  order = (now < 0 ? order : now + by + doubts.length) % doubts.length;
  const { row, column } = doubts[order];
  go(row, column);
  tellOf();
}

function tellOf() {
  const doubt = doubtNow();
  if (!doubt) return;
  const others = doubt.others.slice(0, MOST_CHOICES).map((other, at) => `${at + 1} ${beadName(other.bead)}`);
  say(`${where(doubt)}: ${beadName(doubt.bead)}, ${sure(doubt)}. ${others.length ? `Or ${others.join(", ")}. ` : ""}Enter keeps it.`);
}

const sure = (doubt) => (doubt.sure === null ? "not known how sure" : `${percent(doubt.sure)} sure`);

/** Beads like this one that touch it, directly or through one another, and are unsure too; with this one. */
export function alike({ row, column }) {
  const first = store.doubtAt.get(key(row, column));
  if (!first) return [];
  const seenPegs = new Set([key(row, column)]);
  const found = [{ row, column }];
  for (const peg of found) {
    for (const [r, c] of [[peg.row - 1, peg.column], [peg.row + 1, peg.column], [peg.row, peg.column - 1], [peg.row, peg.column + 1]]) {
      const place = key(r, c);
      if (seenPegs.has(place) || store.doubtAt.get(place)?.bead !== first.bead) continue;
      seenPegs.add(place);
      found.push({ row: r, column: c });
    }
  }
  return found;
}

/** Settles: keeps what is there, or lays `choice` (1 and up) of what came second; `all` takes those alike with it. */
export function settle(choice, all) {
  return answer(() => {
    const doubt = doubtNow();
    const places = doubt && (all || forAll) ? alike(doubt) : pegs();
    if (choice === 0) return worth(places) ? keep(places) : null;
    const other = doubt?.others[choice - 1];
    if (!other) return null;
    return other.bead === null ? lift(places) : place(places, other.bead);
  });
}

// Nothing is to be kept where there is neither bead nor doubt.
const worth = (places) => places.some(({ row, column }) => cellAt(row, column) || store.doubtAt.has(key(row, column)));

/** Takes the beads off. */
export const takeOff = () => answer(() => (pegs().some(({ row, column }) => cellAt(row, column)) ? lift(pegs()) : null));

/** Lays a bead where the maker is. */
export const lay = (bead, places) => answer(() => place(places ?? pegs(), bead));

async function answer(make) {
  let wasDoubt = false;
  const inBoard = $("board").contains(document.activeElement);
  const inCard = $("doubt").contains(document.activeElement);
  const done = await change(() => {
    wasDoubt = !!doubtNow();
    order = Math.max(0, store.table.doubts.indexOf(doubtNow()));
    return make();
  });
  preview([]);
  if (!done) return;
  const doubts = store.table.doubts;
  if (!doubts.length) {
    if (wasDoubt) say(`${leftWords(store.table)}. ${$("findings-body").dataset.words ?? ""}`);
    show();
  } else if (wasDoubt && !doubtNow()) {
    order %= doubts.length;
    go(doubts[order].row, doubts[order].column);
    tellOf();
  }
  if (inBoard) focusPeg();
  else if (inCard && !$("doubt").contains(document.activeElement)) $("doubt-card").querySelector("button")?.focus();
}

function progress() {
  const { table } = store;
  const all = table.settled + table.doubts.length;
  $("progress").hidden = all === 0;
  $("done").max = Math.max(1, all);
  $("done").value = table.settled;
  text($("left"), leftWords(table));
}

const card = () => $("doubt-card");

function show() {
  const doubt = doubtNow();
  const many = store.chosen.length > 1;
  const held = card().contains(document.activeElement) ? document.activeElement.dataset.choice : null;
  const none = store.table.doubts.length === 0;
  $("before").disabled = none;
  $("next").disabled = none;
  const name = beadAt(store.at.row, store.at.column);
  const content = many ? chosen() : doubt ? asked(doubt) : known(name);
  card().replaceChildren(
    ...(none && !many ? [done()] : []),
    h("div", { className: "looked-at" },
      many ? "" : closeUp(),
      h("div", {}, h("p", { className: "where" }, many ? `${store.chosen.length} pegs chosen` : where(store.at)), content.shift())),
    ...content,
  );
  if (!many) drawCloseUp();
  preview(doubt && forAll ? alike(doubt) : []);
  if (held !== null) (card().querySelector(`[data-choice="${held}"]`) ?? card().querySelector("button"))?.focus();
}

function asked(doubt) {
  const group = alike(doubt);
  const all = forAll && group.length > 1;
  const choices = doubt.others.slice(0, MOST_CHOICES);
  const sures = [doubt.sure, ...choices.map((other) => other.sure)].map((sure) => sure ?? 0);
  const most = sures.indexOf(Math.max(...sures));
  return [
    h("p", { className: "question" }, `${capital(beadName(doubt.bead))}? `, h("span", { className: "sure" }, sure(doubt))),
    group.length > 1 ? together(group, doubt.bead) : null,
    h("ol", { className: "choices" },
      choice(0, doubt.bead, `Keep ${all ? `all ${group.length} ` : ""}${beadName(doubt.bead)}`, doubt.sure, "Enter", most === 0),
      ...choices.map((other, at) =>
        choice(at + 1, other.bead, `${all ? `all ${group.length}: ` : ""}${beadName(other.bead)}`, other.sure, `${at + 1}`, most === at + 1)),
    ),
    another(),
  ].filter(Boolean);
}

/** One answer for all that are alike and touch; it stays chosen from doubt to doubt, and each answer says so. */
function together(group, bead) {
  const tick = h("input", { type: "checkbox", id: "for-all", checked: forAll, data: { choice: "for-all" }, onchange: () => takeAll(tick.checked) });
  return h("p", { className: "tick together" }, tick,
    h("label", { htmlFor: "for-all" }, `One answer for all ${group.length} ${bead === null ? "empty pegs" : bead} that touch `, h("kbd", { "aria-hidden": "true" }, "A")));
}

let forAll = false;

/** Chooses whether an answer is for one bead or for all alike that touch it. */
export function takeAll(all = !forAll) {
  forAll = all;
  show();
  say(forAll ? "One answer for all alike that touch." : "One answer for each bead.");
}

function choice(number, bead, words, share, keyName, likeliest = false) {
  const shown = share === null || share === undefined ? "" : percent(share);
  return h("li", {},
    h("button", { type: "button", className: likeliest ? "choice likeliest" : "choice", data: { choice: number }, onclick: () => settle(number, forAll) },
      swatch(bead), h("span", { className: "choice-name" }, words), h("span", { className: "share" }, shown), h("kbd", { "aria-hidden": "true" }, keyName)));
}

/** A bead as it looks, its mark on it; an empty ring for no bead. */
export function swatch(bead) {
  const dot = h("span", { className: bead === null ? "swatch none" : "swatch", "aria-hidden": "true" });
  if (bead === null) return dot;
  const hex = seen(bead);
  dot.style.setProperty("--bead", hex);
  dot.style.setProperty("--ink", inkOn(hex));
  dot.textContent = store.table.legend.find((entry) => entry.bead === bead)?.mark ?? "";
  return dot;
}

const capital = (words) => words.charAt(0).toUpperCase() + words.slice(1);

function another(words = "Another bead", withLift = cellAt(store.at.row, store.at.column) !== null || store.chosen.length > 1) {
  return h("div", { className: "more" },
    h("button", { type: "button", data: { choice: "another" }, onclick: () => askFor(pegs()) }, `${words}… `, h("kbd", { "aria-hidden": "true" }, "B")),
    withLift ? h("button", { type: "button", data: { choice: "lift" }, onclick: takeOff }, "Lift ", h("kbd", { "aria-hidden": "true" }, "Del")) : null,
  );
}

function known(name) {
  const cell = cellAt(store.at.row, store.at.column);
  if (!cell) return [h("p", { className: "question" }, "An empty peg"), another("Lay a bead", false), toDoubts()].filter(Boolean);
  const how = cell.h ? "settled by hand" : cell.s === null ? "" : `${percent(cell.s)} sure`;
  return [
    h("p", { className: "question" }, swatch(name), ` ${capital(name)} `, h("span", { className: "sure" }, how)),
    cell.h ? null : h("ol", { className: "choices" }, choice(0, name, `Keep ${name}`, cell.s, "Enter", true)),
    another(),
    toDoubts(),
  ].filter(Boolean);
}

function chosen() {
  return [
    h("p", { className: "question" }, "All of these"),
    h("ol", { className: "choices" }, h("li", {},
      h("button", { type: "button", className: "choice likeliest", data: { choice: 0 }, onclick: () => settle(0, false) },
        h("span", { className: "choice-name" }, "Keep them all"), h("kbd", { "aria-hidden": "true" }, "Enter")))),
    another("One bead on all", true),
  ];
}

function toDoubts() {
  const left = store.table.doubts.length;
  if (!left) return null;
  return h("button", { type: "button", className: "primary", data: { choice: "go" }, onclick: () => step(0) }, `Go on with the ${count(left, "doubt")} `, h("kbd", { "aria-hidden": "true" }, "N"));
}

function done() {
  const { asked, findings } = store.table;
  const open = findings.filter((finding) => !finding.meant).length;
  return h("div", { className: "finished" },
    h("p", { className: "question" }, asked ? "Every doubt is settled." : "Nothing here is unsure."),
    h("p", {}, "Now your own eye: see it from across a room, ", open ? `look at ${count(open, "finding")} below, ` : "", "and make the sheet to peg from."),
  );
}
