// What is unsure, one question at a time, the dearest first.
import { $, h, text, say, kbd, press, more, hint, box, tick, redraw } from "./dom.js";
import { store, on, go, change, keyOf, pegs, cellAt, beadAt, hasBead, markOf, setTable, tellAll } from "./store.js";
import { doubtNow, goneToDecision, isAlone, isColour, restOf, takeAlone, target } from "./asked.js";
import { line } from "./line.js";
import { closeUp } from "./closeup.js";
import { beadName, capital, count, dearest, leftWords, lowerFirst, percent, where } from "./words.js";
import { focusPeg, preview, takeBead } from "./board.js";
import * as hands from "./chosen.js";
import { partOf } from "./parts.js";
import { askFor } from "./tray.js";
import { paint } from "./pegs.js";
import { seen } from "./seeing.js";

const MOST_CHOICES = 4;

export function start() {
  $("before").addEventListener("click", () => step(-1));
  $("next").addEventListener("click", () => step(1));
  on("table at reference way parts", show);
  on("table", progress);
}

// The decision's place in the order.
let order = 0;

export function step(by) {
  const { decisions } = store.table;
  if (!decisions.length) return;
  const now = decisions.indexOf(doubtNow());
  order = (now < 0 ? order : now + by + decisions.length) % decisions.length;
  goTo(decisions[order]);
}

function goTo(decision, goneOn = false) {
  if (!goneOn) goneToDecision(decision);
  go(decision.pegs[0]);
  const doubt = doubtNow();
  if (!doubt) return;
  const others = othersOf(doubt).map((other, at) => `${at + 1} ${beadName(other.bead)}`);
  const at = doubt.place ? `${capital(doubt.place)}, ${lowerFirst(where(store.at))}` : where(store.at);
  say([`${at}: ${beadName(doubt.bead)}, ${sure(doubt)}.`, groupOf(doubt).length > 1 && `${together(doubt)}.`, settledWords(doubt), others.length && `Or ${others.join(", ")}.`, "Enter keeps it."].filter(Boolean).join(" "));
}

const sure = (doubt) => (doubt.sure === null ? "certainty unknown" : `${percent(doubt.sure)} sure`);
const othersOf = (doubt) => doubt.others.slice(0, MOST_CHOICES);

const groupOf = (doubt) => doubt.pegs ?? [doubt];
const together = (doubt) => `One answer for all ${groupOf(doubt).length} ${doubt.bead} beads${isColour(doubt) ? " of this colour" : " that touch"}`;

// Why beads of a colour that the maker settled are asked about again.
function settledWords(doubt) {
  const entry = doubt?.pegs && !isColour(doubt) && store.table.legend.find(({ bead }) => bead === doubt.bead);
  return entry?.by === "hand" ? `${capital(doubt.bead)} is settled as a colour; the question is whether it belongs here.` : "";
}

// Keeps what is there, or takes `choice` (1 and up) of what came second.
export const settle = (choice, all) => answer(() => {
  const { places, decision } = target(all);
  if (choice === 0) return kept(places, decision);
  const other = doubtNow()?.others[choice - 1];
  return other ? laid(other.bead, places, decision, true) : null;
});

function kept(places, decision) {
  if (isColour(decision)) return line`keep ${decision.bead}`;
  // Nothing is to be kept where there is neither bead nor doubt.
  return places.some((peg) => cellAt(peg) || store.doubtAt.has(keyOf(peg))) ? line`keep ${places}` : null;
}

function laid(bead, places, decision, isAnswer = !!decision) {
  if (bead === null) return hands.lifted(places, isAnswer);
  if (!isColour(decision)) return hands.placed(places, bead, isAnswer);
  return bead === decision.bead ? line`keep ${bead}` : line`swap ${decision.bead} ${bead}`;
}

// Which bead serves a colour is never answered by none; an open part is worked on by itself.
const liftsAll = (decision) => !isColour(decision) && store.part === undefined;

export const takeOff = () => answer(() => {
  const { places, decision } = target();
  return liftsAll(decision) ? hands.lifted(places, !!decision) : hands.lifted(pegs());
});

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
  // Enter keeps.
  else if (inCard) (card.querySelector('[data-choice="0"]') ?? card.querySelector("button"))?.focus({ preventScroll: true });
}

// After an answer: to what is left of its question, else to the next one.
function goOn(was) {
  const { decisions } = store.table;
  if (!decisions.length) {
    if (was) say(`${leftWords(store.table)}. ${$("findings-body").dataset.words ?? ""}`);
    return show();
  }
  if (!was?.pegs) return;
  const rest = restOf(was);
  if (!rest) goTo(decisions[order % decisions.length]);
  else if (doubtNow() !== rest) goTo(rest, true);
}

// Of a figure that is opened, the dearest are asked.
export const askDearest = ({ decisions }) => { store.least = dearest(decisions).length < decisions.length ? dearest(decisions).at(-1).cost : 0; };

// What is not asked unless the maker wants it, in one line.
function smaller() {
  const { all, decisions } = store.table;
  const left = all.length - decisions.length;
  return left ? hint(`${count(left, "smaller one")}: `, press("smaller", "show", () => {
    store.least = 0;
    setTable(store.table);
    step(0);
  })) : null;
}

// The most that were asked since the figure was opened.
let most = { file: null, asked: 0 };

function progress() {
  const { file, decisions, settled } = store.table;
  most = { file, asked: Math.max(decisions.length, most.file === file ? most.asked : 0) };
  $("progress").hidden = most.asked + settled === 0;
  $("done").max = Math.max(1, most.asked);
  $("done").value = most.asked ? most.asked - decisions.length : 1;
  text($("left"), leftWords(store.table));
}

const card = $("doubt-card");

function show() {
  const doubt = doubtNow();
  const many = store.chosen.length > 1;
  const none = store.table.decisions.length === 0;
  $("before").disabled = none;
  $("next").disabled = none;
  const { places } = target();
  const [first, ...rest] = (many ? chosen() : doubt ? asked(doubt) : known()).filter(Boolean);
  redraw(card, [
    none && !many ? done() : "",
    h("div", { className: "looked-at" },
      many ? "" : closeUp(doubt ? places : [store.at], doubt ? [doubt.bead, ...doubt.others.slice(0, 1).map((other) => other.bead)] : []),
      h("div", {}, h("p", { className: "where" }, many ? `${store.chosen.length} pegs chosen` : where(store.at)), first)),
    ...rest, many ? "" : (smaller() ?? ""),
  ]);
  tryOut();
  preview(doubt && places.length > 1 ? places : []);
}

function asked(doubt) {
  const group = groupOf(doubt).length;
  const others = othersOf(doubt);
  const sures = [doubt, ...others].map((one) => one.sure ?? 0);
  const likeliest = sures.indexOf(Math.max(...sures));
  const settled = settledWords(doubt);
  return [
    questionOf(question(doubt, group), sure(doubt)),
    why(doubt),
    settled && hint(settled),
    group > 1 && one(doubt),
    h("ol", { className: "choices" },
      choice(0, doubt.bead, `Keep ${group > 1 && !isAlone(doubt) ? `all ${group} ` : ""}${beadName(doubt.bead)}`, doubt.sure, "Enter", likeliest === 0),
      others.map((other, at) => choice(at + 1, other.bead, beadName(other.bead), other.sure, `${at + 1}`, likeliest === at + 1))),
    another(),
    besides(),
  ];
}

const questionOf = (words, how = "", ...before) => h("p", { className: "question" }, ...before, words, " ", h("span", { className: "sure" }, how));

// "Trousers: chestnut or hazel? 35 beads"
function question({ place, bead, others }, beads) {
  const or = others.length ? ` or ${beadName(others[0].bead)}` : "";
  return `${capital(`${place ? `${place}: ` : ""}${beadName(bead)}${or}?`)}${beads > 1 ? ` ${count(beads, "bead")}` : ""}`;
}

// Why a bead lies there: the detector that set it, or what it was read from.
function why(doubt) {
  const cell = cellAt(store.at);
  const name = doubt?.pegs ? doubt.set_by : cell?.w;
  const found = name && store.table.why[name];
  const words = name ? `${name}${found ? `: ${lowerFirst(found).slice(0, -1)}` : ""}` : doubt?.why;
  const read = words ?? (cell && !cell.h && cell.s !== null ? "its window in the picture" : null);
  return read && h("p", { className: "hint why" }, `Why: ${read}.`);
}

let isTrying = false;

// Shows on the board what a choice would be, while it is looked at.
function tryOut(bead) {
  if (bead === undefined && !isTrying) return;
  isTrying = bead !== undefined;
  store.ghost = new Map(isTrying ? target().places.map((peg) => [keyOf(peg), bead]) : []);
  tellAll("ghost");
}

function one(doubt) {
  const alone = box("for-one", { checked: isAlone(doubt), data: { does: "for-one" }, onchange: () => takeOne(alone.checked) });
  return h("div", { className: "together" }, h("p", {}, `${together(doubt)}.`), tick(alone, "For this one alone ", kbd("A")));
}

export function takeOne(alone) {
  const doubt = doubtNow();
  if (!doubt?.pegs || doubt.pegs.length < 2) return;
  takeAlone(doubt, alone ?? !isAlone(doubt));
  show();
  say(isAlone(doubt) ? "An answer for this one alone." : `${together(doubt)}.`);
}

function choice(number, bead, words, share, keyName, likeliest = false) {
  const show = () => bead !== undefined && tryOut(bead);
  return h("li", {}, h("button", { className: likeliest ? "choice likeliest" : "choice", data: { choice: number, does: number }, onclick: () => settle(number, false),
    onpointermove: show, onpointerleave: () => tryOut(), onfocus: show, onblur: () => tryOut() },
  bead === undefined ? null : swatch(bead), h("span", { className: "choice-name" }, words, store.notOwned.has(bead) ? " (not owned)" : ""),
  h("span", { className: "share" }, share === null || share === undefined ? "" : percent(share)), kbd(keyName)));
}

export function swatch(bead) {
  const dot = h("span", { className: bead === null ? "swatch none" : "swatch", "aria-hidden": "true" }, bead === null ? "" : markOf(bead));
  if (bead !== null) paint(dot, seen(bead));
  return dot;
}

const cardButton = (choice, does, ...words) => h("button", { data: { choice, does: choice }, onclick: does }, ...words);

function another(words = "Another bead", withLift = hasBead(store.at) || store.chosen.length > 1) {
  const { places, decision } = target();
  const all = decision && liftsAll(decision) && places.length > 1 ? ` all ${places.length}` : "";
  return more(cardButton("another", () => askFor(target()), `${words}… `, kbd("B")), withLift ? cardButton("lift", takeOff, `Lift${all} `, kbd("Del")) : null);
}

function known() {
  const cell = cellAt(store.at);
  if (!cell) return [questionOf("An empty peg"), another("Lay a bead", false), besides(), toDoubts()];
  const name = beadAt(store.at);
  return [
    questionOf(` ${capital(name)}`, cell.h ? "settled by hand" : cell.s === null ? "" : `${percent(cell.s)} sure`, swatch(name)),
    why(),
    cell.h ? null : h("ol", { className: "choices" }, choice(0, name, `Keep ${name}`, cell.s, "Enter", true)),
    another(),
    besides(),
    toDoubts(),
  ];
}

function chosen() {
  const arrow = (words, sign, down, right) => h("button", { className: "small sign", "aria-label": `Move ${words}`, title: words, onclick: () => {
    hands.nudge(down, right);
    putDown();
  } }, sign);
  return [
    questionOf("All of these"),
    h("ol", { className: "choices" }, choice(0, undefined, "Keep them all", null, "Enter", true)),
    another("One bead on all", true),
    hands.hasCopy() && hint("Copied. Press a peg to lay the copy there."),
    more(arrow("left", "←", 0, -1), arrow("up", "↑", -1, 0), arrow("down", "↓", 1, 0), arrow("right", "→", 0, 1)),
    more(press("copy", "Copy", () => hands.copy()), press("cut", "Cut", () => hands.copy(true)), press("mirror", "Mirror ", hands.mirror, kbd("M")),
      press("part", "Make a part… ", () => partOf(pegs()), kbd("W")), press("none", "Choose none ", hands.chooseNone, kbd("Esc"))),
  ];
}

// Arrows pressed one after another are one step.
const PUT_DOWN_AFTER = 700;
let putting;

function putDown() {
  clearTimeout(putting);
  putting = setTimeout(() => hands.putDown(), PUT_DOWN_AFTER);
}

let isOpen = false;

function besides() {
  const copy = hands.hasCopy() ? more(press("paste", "Lay the copy here", () => hands.paste()), press("paste-mirrored", "Mirrored", () => hands.paste(true))) : null;
  return h("div", {}, copy, h("details", { open: isOpen, ontoggle: ({ target: it }) => {
    if (it.open && !isOpen) it.scrollIntoView({ block: "nearest" });
    isOpen = it.open;
  } }, h("summary", {}, "More at this peg"), more(
    press("take-bead", "Take its bead ", () => takeBead(store.at), kbd("H")),
    press("touching", "All that touch ", () => hands.choosePatch(), kbd("T")),
    press("block", "A block from here", () => hands.chooseFrom(store.at)))));
}

function toDoubts() {
  const left = store.table.decisions.length;
  return left > 0 && h("button", { className: "primary", data: { choice: "go", does: "go" }, onclick: () => step(0) }, `Go on with the ${count(left, "doubt")} `, kbd("N"));
}

function done() {
  const { all, asked, findings } = store.table;
  const open = findings.filter((finding) => !finding.meant).length;
  return h("div", { className: "finished" },
    h("p", { className: "question" }, !asked ? "Nothing here is unsure." : all.length ? "What matters most is settled." : "Every doubt is settled."),
    h("p", {}, "Now use your own eye: see it from across a room, ", open ? `look at ${count(open, "finding")} below, ` : "", "and make the sheet to peg from."));
}
