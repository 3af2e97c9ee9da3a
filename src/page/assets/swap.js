// One bead for another, in the whole figure or in one part.
import { dialog, h, text, field } from "./dom.js";
import { store, change } from "./store.js";
import { swap } from "./line.js";
import { count } from "./words.js";

/** Asks what is to be swapped, beginning with this bead. */
export function openSwap(bead) {
  const { legend, tray, parts } = store.table;
  const used = legend.filter((entry) => entry.needed > 0).map((entry) => entry.bead);
  if (!used.length) return;
  const option = (name, tried) => h("option", { value: name }, `${name}${tried === true ? " (not owned)" : ""}`);
  const old = h("select", { id: "swap-old" }, used.map(option));
  if (used.includes(bead)) old.value = bead;
  const fresh = h("select", { id: "swap-new", autofocus: true }, h("option", { value: "" }, "choose…"), tray.map((entry) => option(entry.bead, entry.tried)));
  const part = h("select", { id: "swap-part" }, h("option", { value: "" }, "the whole figure"), parts.map((entry) => option(entry.name)));
  const byHand = h("input", { id: "swap-by-hand", type: "checkbox" });
  const told = h("p", { className: "hint", "aria-live": "polite" });
  const go = h("button", { type: "submit", className: "primary" }, "Swap them");
  const tellHow = () => {
    const { swapped, stay } = numbers(old.value, part.value, byHand.checked);
    const stays = stay ? ` ${count(stay, "bead")} settled by hand ${stay === 1 ? "stays" : "stay"} ${old.value}.` : "";
    text(told, `${count(swapped, "bead")} will change.${stays}`);
    go.disabled = !fresh.value || fresh.value === old.value || swapped === 0;
  };
  dialog("Swap one bead for another", (close) => [
    h("form", { method: "dialog", onsubmit: (event) => {
      event.preventDefault();
      const line = swap(old.value, fresh.value, part.value || undefined, byHand.checked);
      const words = `${old.value} swapped for ${fresh.value}.`;
      close();
      change(line, words);
    }, onchange: tellHow },
      field("This bead", old),
      field("becomes", fresh),
      field("in", part),
      h("p", { className: "tick" }, byHand, h("label", { htmlFor: "swap-by-hand" }, "also the beads you settled by hand")),
      told,
      h("div", { className: "dialog-end" }, h("button", { onclick: close }, "Leave it"), go)),
  ]);
  tellHow();
}

function numbers(bead, partName, byHand) {
  const { table } = store;
  let [swapped, stay] = [0, 0];
  const at = table.parts.findIndex((part) => part.name === partName);
  for (const row of table.beads) {
    for (const cell of row) {
      if (!cell || store.beadOf.get(cell.m) !== bead || (at >= 0 && cell.p !== at)) continue;
      if (cell.h && !byHand) stay += 1;
      else swapped += 1;
    }
  }
  return { swapped, stay };
}
