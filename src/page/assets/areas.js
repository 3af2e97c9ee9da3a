// Pale areas that may be cloth or ground: framed on the picture, one question each.
import { h } from "./dom.js";

/** The spot an answer names: given, or the area's middle. */
const spotOf = (area) => area.at ?? [Math.round(area.x + area.width / 2), Math.round(area.y + area.height / 2)];

/** Questions in `list` and frames on `stage`; `changed()` is called after an answer. */
export function areaQuestions(stage, list, size, changed) {
  const answers = new Map();
  let frames = [];

  const show = (areas) => {
    frames.forEach((frame) => frame.remove());
    frames = areas.map((area, at) => {
      const frame = h("span", { className: "area", "aria-hidden": "true" }, h("b", {}, `${at + 1}`));
      const share = (value, whole) => `${(value / whole) * 100}%`;
      frame.style.left = share(area.x, size.width);
      frame.style.top = share(area.y, size.height);
      frame.style.width = share(area.width, size.width);
      frame.style.height = share(area.height, size.height);
      return frame;
    });
    stage.append(...frames);
    const held = list.contains(document.activeElement) ? document.activeElement.id : null;
    list.replaceChildren(...areas.map(question));
    if (held) document.getElementById(held)?.focus();
  };

  const question = (area, at) => {
    const spot = spotOf(area);
    const answered = answers.get(spot.join());
    const pick = (value, words) => {
      const id = `area-${at}-${value}`;
      const radio = h("input", { type: "radio", id, name: `area-${at}`, value, checked: (answered?.is ?? area.taken) === value,
        onchange: () => {
          answers.set(spot.join(), { spot, is: value });
          changed();
        } });
      return h("span", { className: "tick" }, radio, h("label", { htmlFor: id }, words));
    };
    return h("fieldset", { onfocusin: () => frames[at]?.classList.add("asked-about"), onfocusout: () => frames[at]?.classList.remove("asked-about"),
      onpointerenter: () => frames[at]?.classList.add("asked-about"), onpointerleave: () => frames[at]?.classList.remove("asked-about") },
    h("legend", {}, `Pale place ${at + 1}: is it cloth, or the ground behind?`),
    h("div", { className: "answers" }, pick("cloth", "Cloth"), pick("ground", "Ground"),
      h("span", { className: "hint" }, answered ? "as you say" : `taken for ${area.taken} so far`)));
  };

  return {
    show,
    /** Spots the maker called so. */
    said: (is) => [...answers.values()].filter((answer) => answer.is === is).map((answer) => answer.spot),
  };
}
