// Undo, redo and the steps so far; whether all is on disk.
import { $, h, text, say, hint } from "./dom.js";
import { store, on, undo, redo, isBusy } from "./store.js";
import { wordsOf } from "./wire.js";
import { stepWords } from "./words.js";

export function start() {
  $("undo").addEventListener("click", back);
  $("redo").addEventListener("click", forth);
  on("saving trouble", () => {
    const { trouble } = store;
    text($("saved"), isBusy() ? "Saving" : trouble ? "Not saved" : "Saved");
    $("trouble").hidden = !trouble;
    if (trouble) text($("trouble"), wordsOf(trouble));
    // What is to be known of the last change stays until the next.
    $("noted").hidden = !store.noted;
    text($("noted"), store.noted ?? "");
  });
  on("table", show);
}

async function walk(line, goes, done, nothing) {
  if (line === null) say(nothing);
  else if (await goes()) say(`${done}: ${stepWords(line)}.`);
}

export const back = () => walk(store.table.undo, undo, "Undone", "Nothing to undo.");
export const forth = () => walk(store.table.redo, redo, "Redone", "Nothing to redo.");

function show() {
  const { history, undone, ...table } = store.table;
  $("steps").hidden = false;
  for (const [id, verb] of [["undo", "Undo"], ["redo", "Redo"]]) {
    // A button that has nothing to do stays where the keyboard found it, and says so.
    const words = table[id] === null ? "" : stepWords(table[id]);
    $(id).setAttribute("aria-disabled", `${!words}`);
    $(id).setAttribute("aria-label", `${verb}: ${words || "nothing"}`);
    $(id).title = words;
  }
  const body = $("past-body");
  const held = body.contains(document.activeElement);
  const later = undone.map((line, at) => step(stepWords(line), () => redo(at + 1), { className: "undone" }));
  const before = history.map((line, at) => step(stepWords(line), () => undo(history.length - at - 1), at === history.length - 1 ? NOW : {}));
  const first = step("Before these steps", () => undo(history.length), history.length ? {} : NOW);
  body.replaceChildren(later.length + before.length
    ? h("ol", { className: "past", "aria-label": "Steps, the last first. Press one to go there." }, later.reverse(), before.reverse(), first)
    : hint("None yet. Each step is saved as soon as it is made, and can be undone tomorrow."));
  if (held) body.querySelector("[aria-current]")?.focus();
}

const NOW = { "aria-current": "step" };

// A step to go to: the figure is then as it was just after it.
const step = (words, goes, as) => h("li", {}, h("button", { ...as, onclick: as === NOW ? undefined : goes }, words));
