// The sheet to peg from and a picture to show, saved from here.
import { $, h, text, field, hint, pick, box, tick } from "./dom.js";
import { store } from "./store.js";
import { tellBlob, wordsOf } from "./wire.js";
import { PITCHES } from "./size.js";

export function start(begun) {
  const paper = pick("paper", [["a4", "A4"], ["letter", "Letter"]]);
  const beads = pick("sheet-pitch", [...new Set([begun.pitch ?? PITCHES[0], ...PITCHES])].map((pitch) => [`${pitch}mm`, `${pitch} mm`]));
  const fused = box("fused");
  const told = h("p", { className: "hint", "aria-live": "polite" });
  const make = (id, words, path, wanted, ending, className) => h("button", { id, className, onclick: () =>
    keep(told, () => tellBlob(path, { file: store.table.file, ...wanted() }), `${store.table.file.replace(/^.*\/|\.figure\.toml$/g, "")}.${ending}`) }, words);
  $("outputs-body").append(
    field("Paper", paper),
    field("Beads", beads),
    make("save-sheet", "Save the sheet (PDF)", "/api/sheet", () => ({ paper: paper.value, pitch: beads.value }), "pdf", "primary"),
    hint("Print it at 100 %. Hot iron and fumes: an adult irons, with air; the bead maker’s instructions come first."),
    tick(fused, "as ironed"),
    make("save-picture", "Save a picture (PNG)", "/api/show", () => ({ fused: fused.checked }), "png"),
    told,
  );
}

// Hands what `make` gives to the browser to keep, and says so.
export async function keep(told, make, name) {
  text(told, "Making it…");
  try {
    const address = URL.createObjectURL(await make());
    h("a", { href: address, download: name }).click();
    setTimeout(() => URL.revokeObjectURL(address), 10000);
    text(told, `${name} is where your browser keeps what you save.`);
  } catch (trouble) {
    text(told, wordsOf(trouble));
  }
}
