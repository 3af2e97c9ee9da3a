// A picture before it is a figure: asked about, drafted, saved.
import { $, h, text, say, field, line, more, pick, press } from "./dom.js";
import { tell, getBlob, wordsOf } from "./wire.js";
import { drawFigure, rowsOf } from "./draw.js";
import { markLines } from "./marks.js";
import { areaQuestions } from "./areas.js";
import { areaOf, cornersOf, fourCorners } from "./corners.js";
import { peopleBoxes } from "./people.js";
import { heights, showBlob } from "./shelf.js";
import { count, dearest } from "./words.js";

// What is still being moved is not drafted at every pixel.
const REST = 350;
const ROOM = [340, 460];
// So much of the figure's height is around a part at first; so far inside the picture lies a sheet.
const AROUND = 0.08;
const INSET = 0.08;

// `opened(file)` is called once the draft is saved.
export async function showSketch(begun, opened) {
  const { file: picture, size: [width, height], draft: asked = {} } = begun;
  const size = { width, height };
  const whole = [0, 0, width, height];
  const image = h("img", { alt: "The picture that is drafted", draggable: false, hidden: true });
  const stage = h("div", { className: "sketch-stage" }, image);
  const canvas = h("canvas", { role: "img" });
  const told = h("p", { className: "hint", "aria-live": "polite" }, "Drafting…");
  const note = h("p", { className: "hint" });
  const trouble = h("p", { className: "warning", role: "alert", hidden: true });
  const list = h("div", { className: "questions" });
  const classes = pick("class", heights(begun.classes));
  classes.value = asked.class ?? "guide";
  const name = line("save-name", { spellcheck: false, value: picture.replace(/^.*[\\/]|\.[^.]*$/g, "") });
  const save = h("button", { type: "submit", className: "primary" }, "Save and edit");
  let used = whole;
  let classGiven = !!asked.class;

  const people = peopleBoxes(stage, size, () => elsewhere(people.box()));
  const sheet = fourCorners(stage, size, { what: "the sheet", className: "sheet" }, () => elsewhere());
  const part = fourCorners(stage, size, { what: "the part to use", className: "part", upright: true }, () => elsewhere());
  const lines = markLines(stage, size, later);
  const areas = areaQuestions(stage, list, size, draft, later);
  const again = press("marks", "Guess the lines again", () => {
    lines.clear();
    draft();
  });
  const usePart = press("part", "", () => {
    if (part.any()) part.clear();
    else part.set(cornersOf(around(people.box() ?? used, AROUND * used[3])));
    elsewhere();
  });
  const useSheet = press("sheet", "", () => {
    if (sheet.said()) sheet.clear();
    else sheet.set(cornersOf(around(whole, -INSET * Math.min(width, height))));
    elsewhere();
  });
  const everyone = press("people", "Any of them", () => {
    people.clear();
    draft();
  });
  const place = press("place", "Point at a pale place", () => areas.add([used[0] + used[2] / 2, used[1] + used[3] / 2].map(Math.round)));

  function around([x, y, wide, high], more) {
    const [left, top] = [Math.max(0, Math.round(x - more)), Math.max(0, Math.round(y - more))];
    return [left, top, Math.min(width, Math.round(x + wide + more)) - left, Math.min(height, Math.round(y + high + more)) - top];
  }

  // What was said of places outside another part is forgotten.
  function elsewhere(box) {
    if (!box) people.clear();
    const within = box ?? (part.any() ? areaOf(part.said()) : whole);
    lines.within(within);
    areas.within(within);
    later();
  }

  // As the command line asked, until the maker says it here.
  const tall = () => {
    const { stands, zones, rows } = classGiven ? {} : asked;
    return stands ? { stands } : zones ? { zones } : rows ? { rows } : { class: classes.value };
  };
  const fields = () => ({
    picture,
    crop: part.any() ? areaOf(part.said()) : undefined,
    corners: sheet.said(),
    person: people.said(),
    ...tall(),
    marks: lines.hasOwn() ? lines.said() : (asked.marks ?? ""),
    cloth: [...(asked.cloth ?? []), ...areas.said("cloth")],
    ground: [...(asked.ground ?? []), ...areas.said("ground")],
  });

  const offer = () => {
    text(usePart, part.any() ? "Use the whole picture" : "Use a part of it…");
    text(useSheet, sheet.said() ? "Find the sheet again" : "Set the sheet’s corners…");
    useSheet.hidden = !sheet.said() && sheet.any();
    again.hidden = !lines.hasOwn();
    everyone.hidden = people.said() === undefined;
  };

  const show = (answer) => {
    const { table } = answer;
    used = answer.used;
    lines.set(answer.marks ?? {}, used);
    areas.show(answer.areas ?? []);
    people.show(answer.people, used);
    sheet.found(answer.sheet);
    drawFigure(canvas, rowsOf(table), table.columns, ROOM);
    const words = `${count(table.rows, "row")}, ${count(table.count.beads, "bead")}, ${count(table.legend.filter((entry) => entry.needed > 0).length, "colour")}. ${count(dearest(table.decisions).length, "doubt")} to look at.`;
    canvas.setAttribute("aria-label", `The draft: ${words}`);
    text(told, words);
    text(note, [
      people.count() > 1 && `${people.count()} people are here: press the one you mean.`,
      sheet.any() && (sheet.said() ? "The sheet’s corners are as you set them." : "The sheet was found: drag a corner that is off."),
      lines.any() ? "Where a line is off, drag it, or move it with the arrow keys." : "The drawing is in bead proportions: its rows are read as they are, and no lines are needed.",
    ].filter(Boolean).join(" "));
  };
  const fail = (failure) => {
    trouble.hidden = false;
    text(trouble, wordsOf(failure));
  };

  // One draft at a time; an answer that is older than what was asked since is dropped.
  let wanted = 0;
  let drafting = false;
  async function draft() {
    clearTimeout(rest);
    wanted += 1;
    if (drafting) return;
    drafting = true;
    for (let mine = 0; mine !== wanted;) {
      mine = wanted;
      offer();
      text(told, "Drafting…");
      try {
        const answer = await tell("/api/draft", fields());
        if (mine !== wanted) continue;
        trouble.hidden = true;
        show(answer);
        offer();
      } catch (failure) {
        if (mine !== wanted) continue;
        text(told, "");
        fail(failure);
      }
    }
    drafting = false;
  }

  let rest = null;
  function later() {
    clearTimeout(rest);
    rest = setTimeout(draft, REST);
  }

  async function keep(event) {
    event.preventDefault();
    save.disabled = true;
    try {
      const { file } = await tell("/api/draft/save", { ...fields(), save: `${name.value.trim().replace(/\.figure\.toml$/, "")}.figure.toml` });
      say("Saved.");
      opened(file);
    } catch (failure) {
      fail(failure);
    }
    save.disabled = false;
  }

  classes.addEventListener("change", () => {
    classGiven = true;
    draft();
  });
  if (asked.crop) part.set(cornersOf(asked.crop));
  if (asked.corners) sheet.set(asked.corners);
  text($("title"), picture);
  const section = (title, ...content) => h("section", {}, h("h2", {}, title), ...content);
  $("sketch").replaceChildren(
    section("What the picture shows", more(usePart, useSheet, everyone, again), h("div", { className: "sketch-frame" }, stage), note),
    section("What only you know", field("How tall", classes), list, more(place)),
    section("What the beads will be", h("div", { className: "draft-frame" }, canvas), told, trouble, h("form", { onsubmit: keep }, field("Save as", name), save)),
  );
  // The picture is there before the draft is.
  await Promise.all([getBlob("/api/picture", picture).then((blob) => showBlob(image, blob)).then(() => { image.hidden = false; }), draft()]);
}
