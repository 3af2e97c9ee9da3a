// The sheet to peg from and a picture to show, saved from here.
import { $, h, text, say, field } from "./dom.js";
import { store } from "./store.js";
import { tellBlob } from "./wire.js";

export function start(begun) {
  const paper = h("select", { id: "paper" }, h("option", { value: "a4" }, "A4"), h("option", { value: "letter" }, "Letter"));
  const beads = h("select", { id: "sheet-pitch" }, [...new Set([begun.pitch ?? 5, 5, 2.6])].map((pitch) => h("option", { value: `${pitch}mm` }, `${pitch} mm`)));
  const fused = h("input", { id: "fused", type: "checkbox" });
  const told = h("p", { className: "hint", "aria-live": "polite" });
  $("outputs-body").append(
    field("Paper", paper),
    field("Beads", beads),
    h("button", { className: "primary", id: "save-sheet", onclick: () => save(told, "/api/sheet", { paper: paper.value, pitch: beads.value }, "pdf") }, "Save the sheet (PDF)"),
    h("p", { className: "hint" }, "Print it at 100 %. Hot iron and fumes: an adult irons, with air; the bead maker’s instructions come first."),
    h("p", { className: "tick" }, fused, h("label", { htmlFor: "fused" }, "as ironed")),
    h("button", { id: "save-picture", onclick: () => save(told, "/api/show", { fused: fused.checked }, "png") }, "Save a picture (PNG)"),
    told,
  );
}

/** Hands bytes to the browser to keep. */
export function download(blob, name) {
  const address = URL.createObjectURL(blob);
  h("a", { href: address, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 10000);
}

async function save(told, path, wanted, ending) {
  text(told, "Making it…");
  try {
    const blob = await tellBlob(path, { file: store.table.file, ...wanted });
    const name = `${store.table.file.replace(/^.*\//, "").replace(/\.figure\.toml$/, "")}.${ending}`;
    download(blob, name);
    text(told, `${name} is where your browser keeps what you save.`);
  } catch (trouble) {
    text(told, trouble.words);
    say(trouble.message);
  }
}
