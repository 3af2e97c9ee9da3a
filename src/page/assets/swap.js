// One bead for another, in the whole figure or in one part.
import { dialog, h, text, field, form, pick, box, tick } from "./dom.js";
import { store, change, allPegs, beadAt } from "./store.js";
import { line, plain, within } from "./line.js";
import { count } from "./words.js";

export function openSwap(bead) {
  const { legend, tray, parts, beads } = store.table;
  const used = legend.filter((entry) => entry.needed > 0).map((entry) => entry.bead);
  if (!used.length) return;
  const old = pick("swap-old", used);
  if (used.includes(bead)) old.value = bead;
  const fresh = pick("swap-new", [["", "choose…"], ...tray.map((entry) => [entry.bead, `${entry.bead}${entry.tried ? " (not owned)" : ""}`])], { autofocus: true });
  const part = pick("swap-part", [["", "the whole figure"], ...parts.map(({ name }) => name)]);
  const byHand = box("swap-by-hand");
  const told = h("p", { className: "hint", "aria-live": "polite" });
  const asked = dialog("Swap one bead for another", (close) => [
    form(close, "Swap them", () => {
      change(line`swap ${old.value} ${fresh.value}${within(part.value || undefined)}${plain(byHand.checked ? " by-hand" : "")}`, `${old.value} swapped for ${fresh.value}.`);
    }, field("This bead", old), field("becomes", fresh), field("in", part), tick(byHand, "also the beads you settled by hand"), told),
  ]);
  const tellHow = () => {
    const at = parts.findIndex(({ name }) => name === part.value);
    const cells = allPegs().filter((peg) => beadAt(peg) === old.value).map(({ row, column }) => beads[row][column]).filter((cell) => at < 0 || cell.p === at);
    const stay = byHand.checked ? 0 : cells.filter((cell) => cell.h).length;
    const swapped = cells.length - stay;
    text(told, `${count(swapped, "bead")} will change.${stay ? ` ${count(stay, "bead")} settled by hand ${stay === 1 ? "stays" : "stay"} ${old.value}.` : ""}`);
    asked.querySelector(".primary").disabled = !fresh.value || fresh.value === old.value || swapped === 0;
  };
  asked.addEventListener("change", tellHow);
  tellHow();
}
