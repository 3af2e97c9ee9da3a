// The file was changed by something else meanwhile: both figures, what differs, and a choice. Nothing is written over.
import { dialog, h } from "./dom.js";
import { onClash } from "./store.js";
import { drawRows, rowsOf, sizeCanvas } from "./draw.js";
import { frame } from "./picture.js";
import { count, stepWords, where } from "./words.js";
import { lift, place } from "./line.js";

const MOST_LISTED = 6;
const WIDE = 240;

export function start() {
  onClash(
    (ours, disk, lines) =>
      new Promise((settled) => {
        open(ours, disk, lines, settled);
      }),
  );
}

const nameAt = (table, row, column) => {
  const mark = table.beads[row]?.[column]?.m;
  return mark ? table.legend.find((entry) => entry.mark === mark)?.bead : null;
};

/** Every peg where two tables differ. */
export function differences(ours, disk) {
  const found = [];
  for (let row = 0; row < Math.max(ours.rows, disk.rows); row += 1) {
    for (let column = 0; column < Math.max(ours.columns, disk.columns); column += 1) {
      const [here, there] = [nameAt(ours, row, column) ?? null, nameAt(disk, row, column) ?? null];
      if (here !== there) found.push({ row, column, here, there });
    }
  }
  return found;
}

/** The lines that bring back our beads on the figure from disk. */
function restoring(found) {
  const byBead = new Map();
  for (const peg of found) byBead.set(peg.here, [...(byBead.get(peg.here) ?? []), peg]);
  return [...byBead].map(([bead, places]) => (bead === null ? lift(places) : place(places, bead)));
}

function figure(table, found, words) {
  const canvas = h("canvas", { role: "img", "aria-label": words });
  const cell = Math.min(14, WIDE / table.columns);
  canvas.style.width = `${table.columns * cell}px`;
  canvas.style.height = `${table.rows * cell}px`;
  const context = sizeCanvas(canvas, table.columns * cell, table.rows * cell);
  drawRows(context, rowsOf(table), cell);
  for (const { row, column } of found) frame(context, [column * cell, row * cell, cell, cell], false);
  return h("figure", {}, canvas, h("figcaption", {}, words));
}

function open(ours, disk, lines, settled) {
  const found = differences(ours, disk);
  const sameGrid = ours.rows === disk.rows && ours.columns === disk.columns;
  let answer = { take: "disk" };
  const end = (close, take) => () => {
    answer = take;
    close();
  };
  const told = (peg) => h("li", {}, `${where(peg)}: here ${peg.here ?? "no bead"}, on disk ${peg.there ?? "no bead"}`);
  const box = dialog("This figure was changed elsewhere meanwhile", (close) => [
    h("p", {}, lines.length
      ? `Another program wrote the file. Your last step (${lines.map(stepWords).join("; ")}) is not on disk yet. Nothing was written over.`
      : "Another program wrote the file. Nothing of yours was waiting to be saved."),
    h("div", { className: "both" }, figure(ours, found, "here, as you saw it"), figure(disk, found, "on disk now")),
    h("p", {}, found.length ? `${count(found.length, "bead differs", "beads differ")}, framed in both:` : "No bead differs: names, parts or notes do."),
    h("ul", { className: "differences" }, found.slice(0, MOST_LISTED).map(told), found.length > MOST_LISTED ? h("li", {}, `and ${found.length - MOST_LISTED} more`) : null),
    h("div", { className: "dialog-end" },
      lines.length
        ? h("button", { onclick: end(close, { take: "page", lines }) }, "Lay my step on the file")
        : sameGrid && found.length
          ? h("button", { onclick: end(close, { take: "disk", lines: restoring(found) }) }, "Put my beads back")
          : null,
      h("button", { className: "primary", onclick: end(close, { take: "disk" }) }, "Go on from the file")),
    lines.length || !sameGrid || !found.length ? "" : h("p", { className: "hint" }, "Beads put back count as settled by hand."),
  ], { className: "clash" });
  box.addEventListener("close", () => settled(answer));
}
