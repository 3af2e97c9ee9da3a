// The file was changed by something else: both figures, what differs, and a choice.
import { dialog, end, h, hint } from "./dom.js";
import { onClash } from "./store.js";
import { drawFigure, frame, rowsOf } from "./draw.js";
import { count, stepWords, where } from "./words.js";
import { line } from "./line.js";

const MOST_LISTED = 6;
const ROOM = [240, 336];

export const start = () => onClash((ours, disk, lines) => new Promise((settled) => { open(ours, disk, lines, settled); }));

const nameAt = (table, row, column) => {
  const mark = table.beads[row]?.[column]?.m;
  return (mark && table.legend.find((entry) => entry.mark === mark)?.bead) ?? null;
};

function differences(ours, disk) {
  const found = [];
  for (let row = 0; row < Math.max(ours.rows, disk.rows); row += 1) {
    for (let column = 0; column < Math.max(ours.columns, disk.columns); column += 1) {
      const [here, there] = [nameAt(ours, row, column), nameAt(disk, row, column)];
      if (here !== there) found.push({ row, column, here, there });
    }
  }
  return found;
}

const restoring = (found) => [...Map.groupBy(found, (peg) => peg.here)].map(([bead, places]) => (bead === null ? line`lift ${places}` : line`place ${places} ${bead}`));

function figure(table, found, words) {
  const canvas = h("canvas", { role: "img", "aria-label": words });
  const cell = drawFigure(canvas, rowsOf(table), table.columns, ROOM);
  for (const { row, column } of found) frame(canvas.getContext("2d"), [column * cell, row * cell, cell, cell], false);
  return h("figure", {}, canvas, h("figcaption", {}, words));
}

function open(ours, disk, lines, settled) {
  const found = differences(ours, disk);
  const canRestore = !lines.length && found.length && ours.rows === disk.rows && ours.columns === disk.columns;
  let answer = { take: "disk" };
  const box = dialog("This figure was changed elsewhere meanwhile", (close) => {
    const button = (words, take, className) => h("button", { className, onclick: () => {
      answer = take;
      close();
    } }, words);
    return [
      h("p", {}, lines.length
        ? `Another program wrote the file. Your last step (${lines.map(stepWords).join("; ")}) is not on disk yet. Nothing was written over.`
        : "Another program wrote the file. Nothing of yours was waiting to be saved."),
      h("div", { className: "both" }, figure(ours, found, "here, as you saw it"), figure(disk, found, "on disk now")),
      h("p", {}, found.length ? `${count(found.length, "bead differs", "beads differ")}, framed in both:` : "No bead differs: names, parts or notes do."),
      h("ul", { className: "differences" }, found.slice(0, MOST_LISTED).map((peg) => h("li", {}, `${where(peg)}: here ${peg.here ?? "no bead"}, on disk ${peg.there ?? "no bead"}`)),
        found.length > MOST_LISTED ? h("li", {}, `and ${found.length - MOST_LISTED} more`) : null),
      end(
        lines.length ? button("Apply my step to the file", { take: "page", lines }) : canRestore ? button("Put my beads back", { take: "disk", lines: restoring(found) }) : "",
        button("Use the file", { take: "disk" }, "primary")),
      canRestore ? hint("Beads put back count as settled by hand.") : "",
    ];
  }, { className: "wide" });
  box.addEventListener("close", () => settled(answer));
}
