// Keys of the whole table. Letters can be switched off, for those who speak to their machine.
import { $, isTyping, say } from "./dom.js";
import { store, beadAt, pegs } from "./store.js";
import { settle, step, takeOff, lay, takeOne } from "./doubts.js";
import { target } from "./asked.js";
import { askFor, take, pointOut } from "./tray.js";
import { openSwap } from "./swap.js";
import { openPart, partOf } from "./parts.js";
import { openHelp, lettersOn } from "./help.js";
import { back, forth } from "./steps.js";
import { keyDown, keyUp } from "./picture.js";
import { takeBead } from "./board.js";
import * as chosen from "./chosen.js";
import { larger, smaller, whole } from "./zoom.js";
import { nearest } from "./colour.js";
import { setWay } from "./seeing.js";

export function start() {
  addEventListener("keydown", (event) => {
    const does = meant(event);
    if (!does) return;
    event.preventDefault();
    does();
  });
  addEventListener("keyup", ({ key }) => key.toLowerCase() === "l" && keyUp());
}

const LETTERS = {
  "?": openHelp,
  h: () => takeBead(store.over ?? store.at),
  t: () => chosen.choosePatch(),
  m: chosen.mirror,
  w: () => partOf(pegs()),
  c: () => nearest(),
  "+": larger,
  "-": smaller,
  0: whole,
  a: () => takeOne(),
  n: () => step(1),
  p: () => step(-1),
  b: () => askFor(target()),
  s: () => openSwap(beadAt(store.at)),
};

function meant({ key, code, target: at, shiftKey: shift, ctrlKey, metaKey, altKey, repeat }) {
  if (!store.table || $("table").hidden || document.querySelector("dialog[open]")) return null;
  const letter = key.toLowerCase();
  if (ctrlKey || metaKey) {
    // Words that are written or marked on the page are copied as anywhere.
    if (at.closest?.("input[type=text]") || (letter === "c" && !getSelection().isCollapsed)) return null;
    return { z: shift ? forth : back, y: forth, a: chosen.chooseAll, c: () => chosen.copy(), x: () => chosen.copy(true), v: () => chosen.paste(shift) }[letter];
  }
  if (altKey || isTyping(at)) return null;
  // On a button Enter and Space press the button.
  const free = !at.closest?.("button, a, summary, input");
  if (key === "Enter" && free) return () => (chosen.isCarrying() ? chosen.putDown() : settle(0, shift));
  if (key === " " && free) return () => layFromHand(shift);
  if (key === "Escape") return letGo;
  if (key === "Delete" || key === "Backspace") return takeOff;
  if (!lettersOn()) return null;
  const digit = /^(?:Digit|Numpad)([1-9])$/.exec(code);
  if (digit && (!shift || code.startsWith("Digit"))) return () => settle(Number(digit[1]), shift);
  return letter === "l" ? () => repeat || keyDown() : LETTERS[letter];
}

function layFromHand(fills) {
  if (!store.hand) say("Your hand is empty. Choose a bead of the tray first, or press B.");
  else if (fills) chosen.fill(store.hand);
  else lay(store.hand);
}

function letGo() {
  if (chosen.isCarrying()) return chosen.leave();
  if (store.chosen.length) return chosen.chooseNone();
  store.corner = null;
  if (store.hand) take(null);
  else if (store.part !== undefined) openPart(undefined);
  if (store.pointed.size) pointOut([]);
  if (store.way === "far") setWay("plain");
}
