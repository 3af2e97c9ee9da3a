// What is unsure, one question at a time, the dearest first: keep it, take what came second, or another bead.
import { $, h, text, say, kbd } from "./dom.js";
import { store, watch, go, change, key, pegs, cellAt, beadAt, markOf, tellAll } from "./store.js";
import { doubtNow, goneToDecision, isAlone, isColour, restOf, takeAlone, target } from "./asked.js";
import { keep, keepBead, swap } from "./line.js";
import { lifted, placed } from "./laying.js";
import { closeUp } from "./closeup.js";
import { beadName, count, leftWords, percent, where } from "./words.js";
import { focusPeg, preview, takeBead } from "./board.js";
import * as hands from "./chosen.js";
import { partOf } from "./parts.js";
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

/** The decision's place in the order, dearest first; the last one answered leaves its place to the next. */
let order = 0;

/** To the next doubt, or the one before. */
export function step(by) {
  const { decisions } = store.table;
  if (!decisions.length) return;
  const now = decisions.indexOf(doubtNow());
  order = (now < 0 ? order : now + by + decisions.length) % decisions.length;
  goTo(decisions[order]);
}

function goTo(decision, goneOn = false) {
  if (!goneOn) goneToDecision(decision);
  const { row, column } = decision.pegs[0];
  go(row, column);
  tellOf();
}

function tellOf() {
  const doubt = doubtNow();
  if (!doubt) return;
  const others = doubt.others.slice(0, MOST_CHOICES).map((other, at) => `${at + 1} ${beadName(other.bead)}`);
  const many = groupOf(doubt).length > 1 ? ` ${together(doubt)}.` : "";
  say(`${doubt.place ? `${capital(doubt.place)}, ` : ""}${where(store.at).toLowerCase()}: ${beadName(doubt.bead)}, ${sure(doubt)}.${many} ${others.length ? `Or ${others.join(", ")}. ` : ""}Enter keeps it.`);
}

const sure = (doubt) => (doubt.sure === null ? "not known how sure" : `${percent(doubt.sure)} sure`);

/** The pegs that one answer settles. */
const groupOf = (doubt) => doubt.pegs ?? [{ row: doubt.row, column: doubt.column }];

/** What the answer is for, in words. */
const together = (doubt) => `One answer for all ${groupOf(doubt).length} ${doubt.bead}${isColour(doubt) ? " of this colour" : " that touch"}`;

/** Settles: keeps what is there, or takes `choice` (1 and up) of what came second; `all` answers for all in any case. */
export function settle(choice, all) {
  return answer(() => {
    const doubt = doubtNow();
    const { places, decision } = target(all);
    if (choice === 0) return kept(places, decision);
    const other = doubt?.others[choice - 1];
    return other ? laid(other.bead, places, decision, true) : null;
  });
}

function kept(places, decision) {
  if (isColour(decision)) return keepBead(decision.bead);
  return worth(places) ? keep(places) : null;
}

function laid(bead, places, decision, isAnswer = !!decision) {
  if (bead === null) return lifted(places, isAnswer);
  if (isColour(decision)) return bead === decision.bead ? keepBead(bead) : swap(decision.bead, bead);
  return placed(places, bead, isAnswer);
}

// Nothing is to be kept where there is neither bead nor doubt.
const worth = (places) => places.some(({ row, column }) => cellAt(row, column) || store.doubtAt.has(key(row, column)));

// Which bead serves a colour is never answered by none, and an open part is worked on by itself: only what the maker is on
// goes.
const liftsAll = (decision) => !isColour(decision) && store.part === undefined;

/** Takes the beads off. */
export const takeOff = () => answer(() => {
  const { places: all, decision } = target();
  return liftsAll(decision) ? lifted(all, !!decision) : lifted(pegs());
});

/** Lays a bead where the maker is, or on what an answer is for. */
export const lay = (bead, { places, decision } = { places: pegs(), decision: null }) => answer(() => laid(bead, places, decision));

async function answer(make) {
  let was = null;
  const inBoard = $("board").contains(document.activeElement);
  const inCard = $("doubt").contains(document.activeElement);
  const done = await change(() => {
    was = doubtNow();
    order = Math.max(0, store.table.decisions.indexOf(was));
    return make();
  });
  preview([]);
  if (!done) return;
  goOn(was);
  if (inBoard) focusPeg();
  else if (inCard && !$("doubt").contains(document.activeElement)) $("doubt-card").querySelector("button")?.focus();
}

/** After an answer: to what is left of its question, else to the next one. */
function goOn(was) {
  const { decisions } = store.table;
  if (!decisions.length) {
    if (was) say(`${leftWords(store.table)}. ${$("findings-body").dataset.words ?? ""}`);
    show();
    return;
  }
  if (!was?.pegs) return;
  const rest = restOf(was);
  if (!rest) goTo(decisions[order % decisions.length]);
  else if (doubtNow() !== rest) goTo(rest, true);
}

/** The most questions that were asked of the figure since it was opened. */
let most = { file: null, asked: 0 };

function progress() {
  const { file, decisions, settled } = store.table;
  most = { file, asked: Math.max(decisions.length, most.file === file ? most.asked : 0) };
  $("progress").hidden = most.asked + settled === 0;
  $("done").max = Math.max(1, most.asked);
  $("done").value = most.asked ? most.asked - decisions.length : 1;
  text($("left"), leftWords(store.table));
}

const card = () => $("doubt-card");

function show() {
  const doubt = doubtNow();
  const many = store.chosen.length > 1;
  const held = card().contains(document.activeElement) ? document.activeElement.dataset.choice : null;
  const none = store.table.decisions.length === 0;
  $("before").disabled = none;
  $("next").disabled = none;
  const name = beadAt(store.at.row, store.at.column);
  const content = many ? chosen() : doubt ? asked(doubt) : known(name);
  card().replaceChildren(
    ...(none && !many ? [done()] : []),
    h("div", { className: "looked-at" },
      many ? "" : closeUp(doubt ? target().places : [store.at], doubt ? [doubt.bead, ...doubt.others.slice(0, 1).map((other) => other.bead)] : []),
      h("div", {}, h("p", { className: "where" }, many ? `${store.chosen.length} pegs chosen` : where(store.at)), content.shift())),
    ...content,
  );
  tryOut();
  preview(doubt && target().places.length > 1 ? target().places : []);
  if (held !== null) (card().querySelector(`[data-choice="${held}"]`) ?? card().querySelector("button"))?.focus();
}

function asked(doubt) {
  const group = groupOf(doubt);
  const all = group.length > 1 && !isAlone(doubt) ? `all ${group.length} ` : "";
  const choices = doubt.others.slice(0, MOST_CHOICES);
  const sures = [doubt.sure, ...choices.map((other) => other.sure)].map((sure) => sure ?? 0);
  const most = sures.indexOf(Math.max(...sures));
  return [
    h("p", { className: "question" }, question(doubt, group.length), " ", h("span", { className: "sure" }, sure(doubt))),
    why(doubt),
    group.length > 1 ? one(doubt) : null,
    h("ol", { className: "choices" },
      choice(0, doubt.bead, `Keep ${all}${beadName(doubt.bead)}`, doubt.sure, "Enter", most === 0),
      ...choices.map((other, at) =>
        choice(at + 1, other.bead, beadName(other.bead), other.sure, `${at + 1}`, most === at + 1)),
    ),
    another(),
    more(),
  ].filter(Boolean);
}

/** "Trousers: chestnut or hazel? 35 beads" */
function question({ place, bead, others }, beads) {
  const or = others.length ? ` or ${beadName(others[0].bead)}` : "";
  return `${capital(`${place ? `${place}: ` : ""}${beadName(bead)}${or}?`)}${beads > 1 ? ` ${count(beads, "bead")}` : ""}`;
}

/** Why the bead where the maker is lies there: the detector that set it, or what of the picture it was read from. */
function why(doubt) {
  const cell = cellAt(store.at.row, store.at.column);
  const name = doubt?.pegs ? doubt.set_by : cell?.w;
  const found = name && store.table.why[name];
  const words = name ? `${name}${found ? `: ${found.charAt(0).toLowerCase()}${found.slice(1, -1)}` : ""}` : doubt?.why;
  const read = words ?? (cell && !cell.h && cell.s !== null ? "its window in the picture" : null);
  return read ? h("p", { className: "hint why" }, `Why: ${read}.`) : null;
}

let isTrying = false;

/** Shows on the board what a choice would be, while it is looked at. */
function tryOut(bead) {
  if (bead === undefined && !isTrying) return;
  isTrying = bead !== undefined;
  store.ghost = new Map(isTrying ? target().places.map(({ row, column }) => [key(row, column), bead]) : []);
  tellAll("ghost");
}

/** One answer settles them all; the maker may answer for this one alone, until the question is settled. */
function one(doubt) {
  const tick = h("input", { type: "checkbox", id: "for-one", checked: isAlone(doubt), data: { choice: "for-one" }, onchange: () => takeOne(tick.checked) });
  return h("div", { className: "together" }, h("p", {}, `${together(doubt)}.`),
    h("p", { className: "tick" }, tick, h("label", { htmlFor: "for-one" }, "For this one alone ", kbd("A"))));
}

/** Chooses whether the answer is for this one alone or for all that the question is about. */
export function takeOne(alone) {
  const doubt = doubtNow();
  if (!doubt?.pegs || doubt.pegs.length < 2) return;
  takeAlone(doubt, alone ?? !isAlone(doubt));
  show();
  say(isAlone(doubt) ? "An answer for this one alone." : `${together(doubt)}.`);
}

function choice(number, bead, words, share, keyName, likeliest = false) {
  const shown = share === null || share === undefined ? "" : percent(share);
  return h("li", {},
    h("button", { className: likeliest ? "choice likeliest" : "choice", data: { choice: number }, onclick: () => settle(number, false),
      onpointerenter: () => tryOut(bead), onpointerleave: () => tryOut(), onfocus: () => tryOut(bead), onblur: () => tryOut() },
      swatch(bead), h("span", { className: "choice-name" }, words, store.notOwned.has(bead) ? " (not owned)" : ""), h("span", { className: "share" }, shown), kbd(keyName)));
}

/** A bead as it looks, its mark on it; an empty ring for no bead. */
export function swatch(bead) {
  const dot = h("span", { className: bead === null ? "swatch none" : "swatch", "aria-hidden": "true" });
  if (bead === null) return dot;
  const hex = seen(bead);
  dot.style.setProperty("--bead", hex);
  dot.style.setProperty("--ink", inkOn(hex));
  dot.textContent = markOf(bead);
  return dot;
}

const capital = (words) => words.charAt(0).toUpperCase() + words.slice(1);

function another(words = "Another bead", withLift = cellAt(store.at.row, store.at.column) !== null || store.chosen.length > 1) {
  const { places, decision } = target();
  const all = decision && liftsAll(decision) && places.length > 1 ? ` all ${places.length}` : "";
  return h("div", { className: "more" },
    h("button", { data: { choice: "another" }, onclick: () => askFor(target()) }, `${words}… `, kbd("B")),
    withLift ? h("button", { data: { choice: "lift" }, onclick: takeOff }, `Lift${all} `, kbd("Del")) : null,
  );
}

function known(name) {
  const cell = cellAt(store.at.row, store.at.column);
  if (!cell) return [h("p", { className: "question" }, "An empty peg"), another("Lay a bead", false), more(), toDoubts()].filter(Boolean);
  const how = cell.h ? "settled by hand" : cell.s === null ? "" : `${percent(cell.s)} sure`;
  return [
    h("p", { className: "question" }, swatch(name), ` ${capital(name)} `, h("span", { className: "sure" }, how)),
    why(),
    cell.h ? null : h("ol", { className: "choices" }, choice(0, name, `Keep ${name}`, cell.s, "Enter", true)),
    another(),
    more(),
    toDoubts(),
  ].filter(Boolean);
}

const press = (words, key, onclick, does) =>
  h("button", { className: "small", data: { does }, onclick }, words, key ? kbd(key) : "");

function chosen() {
  const arrow = (words, sign, down, right) => h("button", { className: "small sign", "aria-label": `Move ${words}`, title: words, onclick: () => {
    hands.nudge(down, right);
    putDown();
  } }, sign);
  return [
    h("p", { className: "question" }, "All of these"),
    h("ol", { className: "choices" }, h("li", {},
      h("button", { className: "choice likeliest", data: { choice: 0 }, onclick: () => settle(0, false) },
        h("span", { className: "choice-name" }, "Keep them all"), kbd("Enter")))),
    another("One bead on all", true),
    hands.hasCopy() ? h("p", { className: "hint" }, "Copied. Press a peg to lay the copy there.") : null,
    h("div", { className: "more" }, arrow("left", "←", 0, -1), arrow("up", "↑", -1, 0), arrow("down", "↓", 1, 0), arrow("right", "→", 0, 1)),
    h("div", { className: "more" },
      press("Copy", "", () => hands.copy(), "copy"), press("Cut", "", () => hands.copy(true), "cut"), press("Mirror ", "M", hands.mirror, "mirror"),
      press("Make a part… ", "W", () => partOf(pegs()), "part"), press("Choose none ", "Esc", hands.chooseNone, "none")),
  ].filter(Boolean);
}

// Arrows pressed one after another are one step.
const PUT_DOWN_AFTER = 700;
let putting;

function putDown() {
  clearTimeout(putting);
  putting = setTimeout(() => hands.putDown(), PUT_DOWN_AFTER);
}

let isOpen = false;

/** What else can be done at a peg: its bead taken, all that touches chosen, a block begun, a copy laid. */
function more() {
  const copy = hands.hasCopy() ? h("div", { className: "more" }, press("Lay the copy here", "", () => hands.paste(), "paste"), press("Mirrored", "", () => hands.paste(true), "paste-mirrored")) : null;
  return h("div", {}, copy, h("details", { open: isOpen, ontoggle: ({ target: it }) => {
    if (it.open && !isOpen) it.scrollIntoView({ block: "nearest" });
    isOpen = it.open;
  } }, h("summary", {}, "More at this peg"), h("div", { className: "more" },
    press("Take its bead ", "H", () => takeBead(store.at), "take-bead"),
    press("All that touch ", "T", () => hands.choosePatch(), "touching"),
    press("A block from here", "", () => hands.chooseFrom({ ...store.at }), "block"))));
}

function toDoubts() {
  const left = store.table.decisions.length;
  if (!left) return null;
  return h("button", { className: "primary", data: { choice: "go" }, onclick: () => step(0) }, `Go on with the ${count(left, "doubt")} `, kbd("N"));
}

function done() {
  const { asked, findings } = store.table;
  const open = findings.filter((finding) => !finding.meant).length;
  return h("div", { className: "finished" },
    h("p", { className: "question" }, asked ? "Every doubt is settled." : "Nothing here is unsure."),
    h("p", {}, "Now your own eye: see it from across a room, ", open ? `look at ${count(open, "finding")} below, ` : "", "and make the sheet to peg from."),
  );
}
