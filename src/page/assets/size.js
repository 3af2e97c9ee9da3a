// The figure at its true size, standing beside the guide.
import { $, h, text, field } from "./dom.js";
import { store, watch } from "./store.js";
import { drawRows, sizeCanvas } from "./draw.js";
import { seenRows } from "./seeing.js";
import { count } from "./words.js";
import { get } from "./wire.js";

// Pegs of regular and of small beads (common practice, no source); a CSS millimetre is 96 / 25.4 pixels.
const PITCHES = [[5, "5 mm beads"], [2.6, "2.6 mm beads"]];
const MILLIMETRE = 96 / 25.4;
const GAP_BEADS = 2;
const GUIDE_GREY = "#9a958b";
const GUIDE = "";

let pitch = PITCHES[0][0];
/** Who it stands beside: a figure of the shelf, or the guide. */
let beside = null;

export function start(begun) {
  // The cast's own pitch comes first.
  const others = PITCHES.filter(([value]) => value !== begun.pitch);
  const pitches = begun.pitch ? [[begun.pitch, `${begun.pitch} mm beads`], ...others] : PITCHES;
  pitch = pitches[0][0];
  const canvas = h("canvas", { id: "true-size", role: "img" });
  const choose = h("select", { id: "pitch", onchange: () => {
    pitch = Number(choose.value);
    show(canvas);
  } }, pitches.map(([value, words]) => h("option", { value }, words)));
  const who = h("select", { id: "beside" }, h("option", { value: GUIDE }, "the guide"));
  who.addEventListener("focus", () => fill(who));
  who.addEventListener("change", () => {
    beside = company.get(who.value) ?? null;
    show(canvas);
  });
  $("size-body").append(
    field("Made of", choose),
    field("Beside", who),
    h("div", { className: "true-size", tabIndex: 0, role: "group", "aria-label": "Figure and guide at true size" }, canvas),
    h("p", { className: "hint", id: "size-words" }),
    h("p", { className: "hint" }, "True at 100 % zoom on a screen that tells its size rightly. Hold a ruler or a bead to it."),
  );
  watch((_, topics) => {
    if (filledFor && filledFor !== store.table?.file) {
      [filledFor, beside, who.value] = [null, null, GUIDE];
    }
    if (["table", "way", "parts"].some((topic) => topics.has(topic)) && store.table) show(canvas);
  });
}

let company = new Map();
let filledFor = null;

/** The figures of the folder, as they are now. */
async function fill(who) {
  if (filledFor === store.table.file) return;
  filledFor = store.table.file;
  const { figures } = await get("/api/shelf").catch(() => ({ figures: [] }));
  company = new Map(figures.filter((figure) => figure.look && figure.file !== store.table.file).map((figure) => [figure.file, figure]));
  const value = who.value;
  who.replaceChildren(h("option", { value: GUIDE }, "the guide"), ...[...company.values()].map((figure) => h("option", { value: figure.file }, figure.name)));
  who.value = company.has(value) ? value : GUIDE;
}

/** Rows of colours of who it stands beside, and the name. */
function other() {
  if (beside) return [beside.look.map((row) => [...row].map((mark) => (beside.colours[mark] ? `#${beside.colours[mark]}` : null))), beside.name];
  return [(store.table.guide?.beads ?? []).map((row) => [...row].map((mark) => (mark === "." ? null : GUIDE_GREY))), "The guide"];
}

function show(canvas) {
  const { table } = store;
  const cell = pitch * MILLIMETRE;
  const figure = seenRows();
  const [guide, name] = other();
  const guideWide = Math.max(0, ...guide.map((row) => row.length));
  const tall = Math.max(table.rows, guide.length);
  const wide = table.columns + (guideWide ? guideWide + GAP_BEADS : 0);
  canvas.style.width = `${wide * cell}px`;
  canvas.style.height = `${tall * cell}px`;
  const context = sizeCanvas(canvas, wide * cell, tall * cell);
  // Both stand on one floor.
  drawRows(context, figure, cell, { y: (tall - table.rows) * cell });
  drawRows(context, guide, cell, { x: (table.columns + GAP_BEADS) * cell, y: (tall - guide.length) * cell });
  const cm = (beads) => `${((beads * pitch) / 10).toFixed(1)} cm`;
  const words = `${table.name}: ${cm(table.columns)} wide, ${cm(table.rows)} tall, ${count(table.count.beads, "bead")}. ${name}: ${cm(guide.length)} tall.`;
  text($("size-words"), words);
  canvas.setAttribute("aria-label", `${words} Drawn side by side.`);
}
