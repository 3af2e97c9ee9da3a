// Landmarks of a drawing as lines on the picture.
import { h, say } from "./dom.js";
import { clamp, movable } from "./handles.js";

// Landmarks from top to bottom, and where each lies on a person.
const LANDMARKS = Object.entries({ top: "top of the hat", crown: "top of the head", chin: "chin", shoulder: "shoulder", hip: "hip", ankle: "ankle", sole: "sole" });
const NAME_HIGH = 31;
// Lines reach so much of the figure's width beyond it.
const BESIDE = 0.15;

// Lines over a picture of `size` true pixels. `moved()` is called when a line was let go.
export function markLines(stage, size, moved) {
  const { width, height } = size;
  const marks = {};
  const own = new Set();
  const lines = new Map();

  // The pixel rows that a line may go to: never past its neighbours.
  const reach = (name) => {
    const there = LANDMARKS.map(([other]) => other).filter((other) => other in marks);
    const at = there.indexOf(name);
    return [at > 0 ? marks[there[at - 1]] + 1 : 0, at < there.length - 1 ? marks[there[at + 1]] - 1 : height];
  };
  // Names of lines that lie close are moved apart; the lines stay.
  const spread = () => {
    const high = stage.getBoundingClientRect().height;
    let last = -Infinity;
    for (const [name] of LANDMARKS) {
      if (!lines.has(name)) continue;
      const wanted = (marks[name] / height) * high;
      last = Math.max(wanted, last + NAME_HIGH);
      lines.get(name).firstChild.style.transform = `translateY(${last - wanted}px)`;
    }
    // Names that reach below a low picture have their room there.
    stage.style.marginBottom = `${Math.max(0, last + NAME_HIGH / 2 - high)}px`;
  };
  new ResizeObserver(spread).observe(stage);

  const show = (name) => {
    const line = lines.get(name);
    line.style.top = `${(marks[name] / height) * 100}%`;
    const [min, max] = reach(name);
    const values = { min, max, now: marks[name], text: `pixel row ${marks[name]}, ${own.has(name) ? "set by you" : "guessed"}` };
    for (const [what, value] of Object.entries(values)) line.setAttribute(`aria-value${what}`, value);
    line.classList.toggle("own", own.has(name));
    spread();
  };
  const make = (name, words) => {
    const line = h("div", { className: "mark-line", role: "slider", tabIndex: 0, "aria-label": words, "aria-orientation": "vertical" }, h("span", { className: "mark-name" }, words));
    movable(line, {
      stage, size,
      at: () => [0, marks[name]],
      put: ([, row]) => {
        marks[name] = Math.round(clamp(row, ...reach(name)));
        show(name);
      },
      letGo: () => {
        own.add(name);
        show(name);
        moved();
      },
      jump: (key, step) => {
        const row = { ArrowLeft: marks[name] - step, ArrowRight: marks[name] + step, Home: reach(name)[0], End: reach(name)[1] }[key];
        return row === undefined ? null : [0, row];
      },
    });
    lines.set(name, line);
    stage.append(line);
  };
  const drop = (name) => {
    lines.get(name).remove();
    lines.delete(name);
    delete marks[name];
  };

  return {
    // Lays down what was guessed; those set by the maker stay.
    set(guessed, [left, , wide]) {
      const share = (value) => `${Math.max(0, value / width) * 100}%`;
      stage.style.setProperty("--from", share(left - BESIDE * wide));
      stage.style.setProperty("--to", share(width - left - wide - BESIDE * wide));
      for (const name of lines.keys()) if (!(name in guessed) && !own.has(name)) drop(name);
      for (const [name, row] of Object.entries(guessed)) if (!own.has(name)) marks[name] = row;
      for (const [name, words] of LANDMARKS) if (name in marks && !lines.has(name)) make(name, words);
      [...lines.keys()].forEach(show);
    },
    clear() {
      [...lines.keys()].forEach(drop);
      own.clear();
      say("Landmarks guessed again.");
    },
    within([, y, , high]) {
      for (const name of own) if (marks[name] < y || marks[name] > y + high) own.delete(name);
    },
    // What the maker set, as the option takes it.
    said: () => [...own].map((name) => `${name}=${marks[name]}`).join(","),
    hasOwn: () => own.size > 0,
    any: () => lines.size > 0,
  };
}
