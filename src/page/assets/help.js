// Help: the order of work and every key, with the switch for letter keys.
import { $, box, dialog, end, h, tick } from "./dom.js";

const LETTERS = "smallcast.letters";

// Whether single letters and digits do something.
export const lettersOn = () => localStorage.getItem(LETTERS) !== "off";

export function start() {
  $("ask-help").addEventListener("click", openHelp);
}

const KEYS = {
  Enter: "keep what is there, all that the question is about",
  "1 to 4": "take that choice for all of them",
  A: "answer for all of them, or for this one alone; with Shift an answer is for all",
  "N, P": "next doubt, the one before",
  B: "another bead: type its name, Enter lays it",
  Delete: "lift the bead, or all pegs that the question is about",
  Arrows: "from peg to peg; with Shift: choose several; with Alt: move what is chosen",
  "Home, End": "ends of the row; with Ctrl: of the figure",
  "Page Up, Page Down": "five rows up or down",
  H: "take the bead you point at into your hand",
  Space: "lay the bead in your hand; with Shift on the whole patch",
  T: "choose all that touch and are alike: so does a double press",
  "M, W": "mirror what is chosen; make it a part",
  "Ctrl + C, X, V": "copy, cut, lay it where you are; with Shift mirrored",
  "Ctrl + A": "choose all beads",
  C: "the beads nearest to the picture here",
  "+, −, 0": "larger, smaller, as large as fit",
  S: "swap one bead for another",
  L: "picture under the beads; held: as long as you hold it",
  "Ctrl + Z, Ctrl + Y": "undo, redo",
  Escape: "choose nothing, put the bead back, close the open part, stop pointing out",
  Tab: "to the next region; the figure is one stop",
  "?": "this help",
};

const HANDS = {
  "A bead in your hand": "a press or a drag lays it; with Shift, or Whole patch, all that touch and are alike get it",
  "Alt + press": "takes the bead there into your hand",
  "An empty hand": "a drag chooses a block, a double press all that touch and are alike",
  "What is chosen": "drag it elsewhere; with Ctrl it stays as well",
  "The picture": "a press there names the beads nearest to it",
  "Ctrl + wheel, middle button": "larger and smaller beads, the board moved",
  Fingers: "with a bead in your hand one lays; two move the board and make it larger",
};

const listed = (tag, rows) => h("dl", { className: "keys" }, Object.entries(rows).flatMap(([name, does]) => [h("dt", {}, h(tag, {}, name)), h("dd", {}, does)]));

export function openHelp() {
  const letters = box("letters", { checked: lettersOn(), onchange: () => localStorage.setItem(LETTERS, letters.checked ? "on" : "off") });
  dialog("Help and keys", (close) => [
    h("p", {}, "The draft is a proposal; your eye decides. Go through what is unsure, starting with what a wrong answer costs most: one question for a colour, one for beads that touch. The frame in the picture and the frame in the beads are the same place. A bead with a small dot is not settled yet; the larger, the less sure."),
    h("p", {}, "Every step is saved at once and can be undone, even tomorrow. A bead you settled stays until you change it yourself."),
    h("h3", {}, "By hand"),
    listed("b", HANDS),
    h("h3", {}, "By keys"),
    listed("kbd", KEYS),
    tick(letters, "Use single letter and number keys"),
    end(h("button", { className: "primary", onclick: close }, "Back to the table")),
  ], { className: "wide" });
}
