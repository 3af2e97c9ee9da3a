// Landmarks of a drawing as lines on the picture: dragged, or moved by the arrow keys.
import { h, say } from "./dom.js";
import { movable } from "./handles.js";

/** Landmarks from top to bottom, and where each lies on a person. */
export const LANDMARKS = [
  ["top", "top of the hat"], ["crown", "top of the head"], ["chin", "chin"], ["shoulder", "shoulder"],
  ["hip", "hip"], ["ankle", "ankle"], ["sole", "sole"],
];
const LEAST_APART = 1;
const NAME_HIGH = 31;
// Lines reach so much of the figure's width beyond it.
const BESIDE = 0.15;

/**
 * Lines over a picture of `size` true pixels. `moved()` is called when a line was let go; `said()` gives the landmarks
 * now, `set(marks)` lays them down.
 */
export function markLines(stage, size, moved) {
  const { height } = size;
  let marks = {};
  let own = new Set();
  const lines = new Map();

  const rowsOf = (name) => {
    const there = LANDMARKS.map(([other]) => other).filter((other) => other in marks);
    const at = there.indexOf(name);
    return [at > 0 ? marks[there[at - 1]] + LEAST_APART : 0, at < there.length - 1 ? marks[there[at + 1]] - LEAST_APART : height];
  };
  // Names of lines that lie close are moved apart; the lines stay.
  const spread = () => {
    const share = stage.getBoundingClientRect().height / height;
    const high = share * height;
    let last = -Infinity;
    for (const [name] of LANDMARKS) {
      const line = lines.get(name);
      if (!line) continue;
      const wanted = marks[name] * share;
      last = Math.max(wanted, last + NAME_HIGH);
      line.firstChild.style.transform = `translateY(${last - wanted}px)`;
    }
    // Names that reach below a low picture have their room there.
    stage.style.marginBottom = `${Math.max(0, last + NAME_HIGH / 2 - high)}px`;
  };
  new ResizeObserver(spread).observe(stage);

  const put = (name, row) => {
    const [least, most] = rowsOf(name);
    marks[name] = Math.round(Math.min(Math.max(row, least), most));
    show(name);
  };
  const show = (name) => {
    const line = lines.get(name);
    line.style.top = `${(marks[name] / height) * 100}%`;
    const [least, most] = rowsOf(name);
    line.setAttribute("aria-valuemin", least);
    line.setAttribute("aria-valuemax", most);
    line.setAttribute("aria-valuenow", marks[name]);
    line.setAttribute("aria-valuetext", `pixel row ${marks[name]}${own.has(name) ? ", set by you" : ", guessed"}`);
    line.classList.toggle("own", own.has(name));
    spread();
  };
  const make = (name, words) => {
    const line = h("div", { className: "mark-line", role: "slider", tabIndex: 0, "aria-label": words, "aria-orientation": "vertical" },
      h("span", { className: "mark-name" }, words));
    movable(line, {
      stage, size,
      at: () => [0, marks[name]],
      put: ([, row]) => put(name, row),
      letGo: () => {
        own.add(name);
        show(name);
        moved();
      },
      jump: (key, step) => {
        const row = { ArrowLeft: marks[name] - step, ArrowRight: marks[name] + step, Home: rowsOf(name)[0], End: rowsOf(name)[1] }[key];
        return row === undefined ? null : [0, row];
      },
    });
    return line;
  };
  const drop = (name) => {
    lines.get(name).remove();
    lines.delete(name);
    delete marks[name];
  };

  return {
    /** Lays down what was guessed over the used part; those set by the maker stay where they are. */
    set(guessed, [left, , wide]) {
      const beside = BESIDE * wide;
      stage.style.setProperty("--from", `${Math.max(0, (left - beside) / size.width) * 100}%`);
      stage.style.setProperty("--to", `${Math.max(0, 1 - (left + wide + beside) / size.width) * 100}%`);
      for (const name of lines.keys()) if (!(name in guessed) && !own.has(name)) drop(name);
      for (const [name, row] of Object.entries(guessed)) if (!own.has(name)) marks[name] = row;
      for (const [name, words] of LANDMARKS) {
        if (!(name in marks) || lines.has(name)) continue;
        const line = make(name, words);
        lines.set(name, line);
        stage.append(line);
      }
      [...lines.keys()].forEach(show);
    },
    /** Lines the maker has not asked for go. */
    clear() {
      [...lines.keys()].forEach(drop);
      own.clear();
      say("Landmarks guessed again.");
    },
    /** Lines that lie in no row of a part of the picture are the maker's no more. */
    within([, y, , high]) {
      for (const name of own) if (marks[name] < y || marks[name] > y + high) own.delete(name);
    },
    /** What the maker set, as the option takes it. */
    said: () => [...own].map((name) => `${name}=${marks[name]}`).join(","),
    hasOwn: () => own.size > 0,
    any: () => lines.size > 0,
  };
}
