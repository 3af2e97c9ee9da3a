// Ways of seeing the figure: as it is, from across a room, in grey, and with other eyes.
import { $, h } from "./dom.js";
import { store, on, tellAll, cellAt } from "./store.js";
import { drawRows, sizeCanvas } from "./draw.js";

const WAYS = { plain: "as it is", far: "across a room", grey: "in grey" };
const OTHER_EYES = { protan: "without red", deutan: "without green", tritan: "without blue" };

export function seen(bead) {
  const other = store.table.vision?.[store.way]?.[bead];
  return other ? `#${other.replace("#", "")}` : (store.hexOf.get(bead) ?? "#888888");
}

export const seenRows = () => store.table.beads.map((cells, row) => cells.map((_, column) => {
  const cell = cellAt({ row, column });
  return cell && seen(store.beadOf.get(cell.m));
}));

// Three metres away, looked at on a screen at arm's length, 0.6 m: a fifth of its size. 5 mm beads are 18.9 CSS pixels.
const FAR_CELL = (0.6 / 3) * (5 / 25.4) * 96;

export function start() {
  const options = (ways) => Object.entries(ways).map(([value, words]) => h("option", { value }, words));
  $("way").append(...options(WAYS), h("optgroup", { label: "as other eyes do" }, options(OTHER_EYES)));
  $("way").addEventListener("change", () => setWay($("way").value));
  const canvas = h("canvas", { role: "img" });
  const picture = h("img", { alt: "The reference at the same size" });
  $("far").append(
    h("div", { className: "far-pair" }, canvas, picture),
    h("p", {}, "As from three metres, if you sit at arm’s length. Is it still who it should be?"),
    h("button", { onclick: () => setWay("plain") }, "Back to the beads"),
  );
  on("table way parts reference", () => {
    const far = store.way === "far";
    $("far").hidden = !far;
    $("board-frame").hidden = far;
    if (!far) return;
    const { rows, columns, name } = store.table;
    canvas.setAttribute("aria-label", `${name} as seen from three metres`);
    drawRows(sizeCanvas(canvas, columns * FAR_CELL, rows * FAR_CELL), seenRows(), FAR_CELL, { hole: false });
    picture.hidden = !store.picture;
    if (store.picture) {
      picture.src = store.picture.src;
      picture.style.height = `${rows * FAR_CELL}px`;
    }
  });
}

export function setWay(way) {
  store.way = way;
  $("way").value = way;
  tellAll("way");
}
