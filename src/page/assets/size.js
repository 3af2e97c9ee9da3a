// The figure at its true size, standing beside the guide.
import { $, h, text, field, hint, pick } from "./dom.js";
import { store, on } from "./store.js";
import { coloured, drawRows, sizeCanvas } from "./draw.js";
import { seenRows } from "./seeing.js";
import { company } from "./taking.js";
import { count } from "./words.js";

// Pegs of regular and of small beads (common practice, no source); a CSS millimetre is 96 / 25.4 pixels.
export const PITCHES = [5, 2.6];
const MILLIMETRE = 96 / 25.4;
const GAP_BEADS = 2;
const GUIDE_GREY = "#9a958b";
const GUIDE = ["", "the guide"];

// Whom it may stand beside, for which figure they were read, and who is meant.
let others = [];
let filledFor = null;
let beside = null;

export function start(begun) {
  const canvas = h("canvas", { id: "true-size", role: "img" });
  // The cast's own pitch comes first.
  const pitches = [...new Set([begun.pitch ?? PITCHES[0], ...PITCHES])];
  const pitch = pick("pitch", pitches.map((value) => [value, `${value} mm beads`]), { onchange: draw });
  const who = pick("beside", [GUIDE], { onfocus: fill, onchange: () => {
    beside = others.find((figure) => figure.file === who.value);
    draw();
  } });
  $("size-body").append(
    field("Made of", pitch),
    field("Beside", who),
    h("div", { className: "true-size", tabIndex: 0, role: "group", "aria-label": "Figure and guide at true size" }, canvas),
    h("p", { className: "hint", id: "size-words" }),
    hint("True at 100 % zoom if your screen reports its size correctly. Check with a ruler."),
  );
  on("table way parts", () => {
    if (filledFor && filledFor !== store.table.file) [filledFor, beside, who.value] = [null, null, GUIDE[0]];
    draw();
  });

  async function fill() {
    if (filledFor === store.table.file) return;
    filledFor = store.table.file;
    others = await company().catch(() => []);
    const { value } = who;
    who.replaceChildren(...pick("", [GUIDE, ...others.map((figure) => [figure.file, figure.name])]).children);
    who.value = others.some((figure) => figure.file === value) ? value : GUIDE[0];
  }

  function draw() {
    const { table } = store;
    const cell = pitch.value * MILLIMETRE;
    const other = beside ? coloured(beside.look, beside.colours) : (table.guide?.beads ?? []).map((row) => [...row].map((mark) => (mark === "." ? null : GUIDE_GREY)));
    const wide = Math.max(0, ...other.map((row) => row.length));
    const tall = Math.max(table.rows, other.length);
    const context = sizeCanvas(canvas, (table.columns + (wide && wide + GAP_BEADS)) * cell, tall * cell);
    // Both stand on one floor.
    drawRows(context, seenRows(), cell, { y: (tall - table.rows) * cell });
    drawRows(context, other, cell, { x: (table.columns + GAP_BEADS) * cell, y: (tall - other.length) * cell });
    const cm = (beads) => `${((beads * pitch.value) / 10).toFixed(1)} cm`;
    const words = `${table.name}: ${cm(table.columns)} wide, ${cm(table.rows)} tall, ${count(table.count.beads, "bead")}. ${beside?.name ?? "The guide"}: ${cm(other.length)} tall.`;
    text($("size-words"), words);
    canvas.setAttribute("aria-label", `${words} Drawn side by side.`);
  }
}
