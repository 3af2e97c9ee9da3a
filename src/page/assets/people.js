// Several people on one picture: a box each, pressed to say who is meant.
import { h } from "./dom.js";
import { lay } from "./handles.js";

export function peopleBoxes(stage, size, chosen) {
  let people = [];
  let meant = null;
  let boxes = [];

  const press = (at) => boxes.forEach((box, own) => box.setAttribute("aria-pressed", `${own === at}`));

  return {
    // Lays down who was found, where none was chosen, and who was drafted.
    show(found, [x, y, width, high]) {
      if (meant !== null) return;
      boxes.forEach((box) => box.remove());
      people = found;
      boxes = people.map((person, at) => {
        const box = h("button", { className: "person", "aria-label": `Person ${at + 1} of ${people.length}`, onclick: () => {
          meant = at;
          press(at);
          chosen();
        } }, h("b", {}, `${at + 1}`));
        lay(box, size, person);
        return box;
      });
      stage.append(...boxes);
      // Who was drafted without a word is the one whose box holds the middle of what was used.
      const holds = (value, from, long) => value >= from && value < from + long;
      press(people.findIndex((box) => holds(x + width / 2, box[0], box[2]) && holds(y + high / 2, box[1], box[3])));
    },
    clear: () => { meant = null; },
    // Who is meant, from 0; none where nobody was chosen.
    said: () => meant ?? undefined,
    box: () => people[meant] ?? null,
    count: () => people.length,
  };
}
