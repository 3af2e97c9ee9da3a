// Pale areas that may be cloth or ground: one question each, the place asked about movable.
import { h } from "./dom.js";
import { clamp, grip, lay, movable, spoken } from "./handles.js";

const ANSWERS = { cloth: "Cloth", ground: "Background", "": "Not sure" };

// Questions in `list`, places on `stage`; `changed()` after an answer, `later()` after a move.
export function areaQuestions(stage, list, size, changed, later) {
  // `of` is the place the draft asked about, where another spot is meant.
  let answers = [];
  let asked = [];
  let shown = [];

  const show = () => {
    const focused = document.activeElement?.dataset.area;
    const places = asked.map((area) => ({ area, answer: answers.find(({ of, spot }) => `${of ?? spot}` === `${area.at}`) }));
    for (const answer of answers) if (!places.some((place) => place.answer === answer)) places.push({ answer });
    shown.forEach((element) => element.remove());
    shown = places.flatMap(onPicture);
    stage.append(...shown);
    list.replaceChildren(...places.map(question));
    if (focused) document.querySelector(`[data-area="${focused}"]`)?.focus();
  };
  const spotOf = ({ answer, area }) => answer?.spot ?? area.at;
  const answerOf = (place) => {
    const { at } = place.area ?? {};
    if (!place.answer) answers.push(place.answer = { of: at, spot: at, is: "" });
    return place.answer;
  };

  const onPicture = (place, at) => {
    const dot = grip("spot", { area: `spot-${at}` }, `${at + 1}`);
    const name = () => {
      dot.setAttribute("aria-label", `Pale place ${at + 1}, at ${spoken(spotOf(place))}`);
      lay(dot, size, spotOf(place));
    };
    const inside = (value, whole) => Math.round(clamp(value, 0, whole - 1));
    movable(dot, { stage, size, at: () => spotOf(place), letGo: () => place.answer?.is && later(), put: ([x, y]) => {
      answerOf(place).spot = [inside(x, size.width), inside(y, size.height)];
      name();
    } });
    name();
    if (!place.area) return [dot];
    const { x, y, width, height } = place.area;
    const frame = h("span", { className: "area", data: { frame: at }, "aria-hidden": "true" });
    lay(frame, size, [x, y, width, height]);
    return [frame, dot];
  };

  const question = (place, at) => {
    const taken = place.area?.taken;
    const is = place.answer?.is;
    const pick = ([value, words]) => {
      const id = `area-${at}-${value}`;
      return h("span", { className: "tick" }, h("input", { type: "radio", id, name: `area-${at}`, value, data: { area: id }, checked: (is || taken || "") === value, onchange: () => {
        answerOf(place).is = value;
        changed();
      } }), h("label", { htmlFor: id }, words));
    };
    const point = (on) => () => stage.querySelector(`[data-frame="${at}"]`)?.classList.toggle("asked-about", on);
    return h("fieldset", { onfocusin: point(true), onfocusout: point(false), onpointerenter: point(true), onpointerleave: point(false) },
      h("legend", {}, `Pale place ${at + 1}: cloth or background?`),
      h("div", { className: "answers" }, Object.entries(ANSWERS).map(pick), h("span", { className: "hint" }, is ? "as you say" : taken ? "assumed" : "")));
  };

  return {
    show(areas) {
      asked = areas;
      // An answer that was heard stands for itself.
      for (const answer of answers) if (answer.is) delete answer.of;
      show();
    },
    add(spot) {
      answers.push({ spot, is: "" });
      show();
      shown.at(-1).focus();
    },
    within([x, y, width, high]) {
      answers = answers.filter(({ spot }) => spot[0] >= x && spot[1] >= y && spot[0] < x + width && spot[1] < y + high);
    },
    said: (is) => answers.filter((answer) => answer.is === is).map((answer) => answer.spot),
  };
}
