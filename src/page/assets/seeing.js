// Ways of seeing the figure: as it is, from across a room, in grey, and with other eyes.
import { $, h, text } from "./dom.js";
import { store, watch, tellAll, cellAt } from "./store.js";
import { drawRows, sizeCanvas } from "./draw.js";

const WAYS = [
  ["plain", "as it is"],
  ["far", "across a room"],
  ["grey", "in grey"],
];
const OTHER_EYES = [
  ["protan", "without red"],
  ["deutan", "without green"],
  ["tritan", "without blue"],
];

/** The colour of a bead as it is seen now, "#rrggbb". */
export function seen(bead) {
  const other = store.table.vision?.[store.way]?.[bead];
  return other ? `#${other.replace("#", "")}` : (store.hexOf.get(bead) ?? "#888888");
}

/** The figure's rows of colours as seen now, hidden parts left out. */
export function seenRows() {
  return store.table.beads.map((row, r) =>
    row.map((_, c) => {
      const cell = cellAt(r, c);
      return cell ? seen(store.beadOf.get(cell.m)) : null;
    }),
  );
}

// Three metres away, looked at on a screen at arm's length, 0.6 m: a fifth of its size. 5 mm beads are 18.9 CSS pixels.
const ROOM_SHARE = 0.6 / 3;
const BEAD_PIXELS = (5 / 25.4) * 96;

export function start() {
  const option = ([value, words]) => h("option", { value }, words);
  $("way").append(...WAYS.map(option), h("optgroup", { label: "as other eyes do" }, OTHER_EYES.map(option)));
  $("way").addEventListener("change", () => setWay($("way").value));
  const canvas = h("canvas", { role: "img" });
  const picture = h("img", { alt: "The reference at the same size" });
  $("far").append(
    h("div", { className: "far-pair" }, canvas, picture),
    h("p", {}, "As three metres away, when you sit at arm’s length. Is it still who it should be?"),
    h("button", { onclick: () => setWay("plain") }, "Back to the beads"),
  );
  watch((_, topics) => {
    if (!["table", "way", "parts", "reference"].some((topic) => topics.has(topic)) || !store.table) return;
    const far = store.way === "far";
    $("far").hidden = !far;
    $("board-frame").hidden = far;
    if (!far) return;
    const cell = BEAD_PIXELS * ROOM_SHARE;
    const { rows, columns } = store.table;
    const context = sizeCanvas(canvas, columns * cell, rows * cell);
    canvas.style.width = `${columns * cell}px`;
    canvas.style.height = `${rows * cell}px`;
    canvas.setAttribute("aria-label", `${store.table.name} as seen from three metres`);
    drawRows(context, seenRows(), cell, { hole: false });
    picture.hidden = !store.picture;
    if (store.picture) {
      picture.src = store.picture.src;
      picture.style.height = `${rows * cell}px`;
    }
  });
}

export function setWay(way) {
  store.way = way;
  $("way").value = way;
  tellAll("way");
  text($("beads-title"), "What the beads are");
}
