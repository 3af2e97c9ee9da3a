// Keys of the whole table. Letters can be switched off, for those who speak to their machine.
import { $, isTyping, say } from "./dom.js";
import { store } from "./store.js";
import { settle, step, takeOff, lay, takeOne } from "./doubts.js";
import { target } from "./asked.js";
import { askFor, take, pointOut } from "./tray.js";
import { openSwap } from "./swap.js";
import { openPart, partOf } from "./parts.js";
import { openHelp, lettersOn } from "./help.js";
import { back, forth } from "./steps.js";
import { keyDown, keyUp } from "./under.js";
import { beadAt, pegs } from "./store.js";
import { takeBead } from "./board.js";
import * as chosen from "./chosen.js";
import { larger, smaller, whole } from "./zoom.js";
import { nearest } from "./colour.js";
import { setWay } from "./seeing.js";

export function start() {
  addEventListener("keydown", down);
  addEventListener("keyup", ({ key }) => {
    if (key === "l" || key === "L") keyUp();
  });
}

function down(event) {
  if (!store.table || $("table").hidden || document.querySelector("dialog[open]")) return;
  const command = event.ctrlKey || event.metaKey;
  const letter = event.key.toLowerCase();
  if (command && !isTextField(event.target)) {
    const does = { z: event.shiftKey ? forth : back, y: forth, a: chosen.chooseAll, c: () => chosen.copy(), x: () => chosen.copy(true), v: () => chosen.paste(event.shiftKey) }[letter];
    // Words that are marked on the page are copied as anywhere.
    if (does && (letter !== "c" || getSelection().isCollapsed)) taken(event, does);
    return;
  }
  if (command || event.altKey || isTyping(event.target)) return;
  // On a button Enter and Space press the button.
  const onControl = event.target.closest?.("button, a, summary, input");
  if (event.key === "Enter" && !onControl) return taken(event, () => (chosen.isCarrying() ? chosen.putDown() : settle(0, event.shiftKey)));
  if (event.key === " " && !onControl) return taken(event, () => layFromHand(event.shiftKey));
  if (event.key === "Escape") return taken(event, free);
  if (event.key === "Delete" || event.key === "Backspace") return taken(event, takeOff);
  if (!lettersOn()) return;
  const digit = /^(?:Digit|Numpad)([1-9])$/.exec(event.code);
  if (digit && (!event.shiftKey || event.code.startsWith("Digit"))) return taken(event, () => settle(Number(digit[1]), event.shiftKey));
  if (event.key === "?") return taken(event, openHelp);
  const here = () => store.over ?? store.at;
  const does = { h: () => takeBead(here()), t: () => chosen.choosePatch(), m: () => chosen.mirror(), w: () => partOf(pegs()), c: () => nearest(), "+": larger, "-": smaller, 0: whole, a: () => takeOne(), n: () => step(1), p: () => step(-1), b: () => askFor(target()), s: () => openSwap(beadAt(store.at.row, store.at.column)), l: () => event.repeat || keyDown() }[letter];
  if (does) taken(event, does);
}

const isTextField = (element) => !!element.closest?.("input[type=text], textarea");

function taken(event, does) {
  event.preventDefault();
  does();
}

function layFromHand(fills) {
  if (store.hand && fills) chosen.fill(store.hand);
  else if (store.hand) lay(store.hand);
  else say("Your hand is empty. Choose a bead of the tray first, or press B.");
}

function free() {
  if (chosen.isCarrying()) return chosen.leave();
  if (store.chosen.length) return chosen.chooseNone();
  store.corner = null;
  if (store.hand) take(null);
  else if (store.part !== undefined) openPart(undefined);
  if (store.pointed.size) pointOut([]);
  if (store.way === "far") setWay("plain");
}
