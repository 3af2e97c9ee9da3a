// Keys of the whole table. Letters can be switched off, for those who speak to their machine.
import { $, isTyping, say } from "./dom.js";
import { store } from "./store.js";
import { settle, step, takeOff, lay, takeOne } from "./doubts.js";
import { target } from "./asked.js";
import { askFor, take, pointOut } from "./tray.js";
import { openSwap } from "./swap.js";
import { openPart } from "./parts.js";
import { openHelp, lettersOn } from "./help.js";
import { back, forth } from "./steps.js";
import { keyDown, keyUp } from "./under.js";
import { beadAt } from "./store.js";
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
    if (letter === "z") taken(event, event.shiftKey ? forth : back);
    else if (letter === "y") taken(event, forth);
    return;
  }
  if (command || event.altKey || isTyping(event.target)) return;
  // On a button Enter and Space press the button.
  const onControl = event.target.closest?.("button, a, summary, input");
  if (event.key === "Enter" && !onControl) return taken(event, () => settle(0, event.shiftKey));
  if (event.key === " " && !onControl) return taken(event, layFromHand);
  if (event.key === "Escape") return taken(event, free);
  if (event.key === "Delete" || event.key === "Backspace") return taken(event, takeOff);
  if (!lettersOn()) return;
  const digit = /^(?:Digit|Numpad)([1-9])$/.exec(event.code);
  if (digit && (!event.shiftKey || event.code.startsWith("Digit"))) return taken(event, () => settle(Number(digit[1]), event.shiftKey));
  if (event.key === "?") return taken(event, openHelp);
  const does = { a: () => takeOne(), n: () => step(1), p: () => step(-1), b: () => askFor(target()), s: () => openSwap(beadAt(store.at.row, store.at.column)), l: () => event.repeat || keyDown() }[letter];
  if (does) taken(event, does);
}

const isTextField = (element) => !!element.closest?.("input[type=text], textarea");

function taken(event, does) {
  event.preventDefault();
  does();
}

function layFromHand() {
  if (store.hand) lay(store.hand);
  else say("Your hand is empty. Choose a bead of the tray first, or press B.");
}

function free() {
  if (store.hand) take(null);
  else if (store.part !== null) openPart(null);
  if (store.pointed.size) pointOut([]);
  if (store.way === "far") setWay("plain");
}
