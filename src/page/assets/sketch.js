// A picture before it is a figure: its landmarks and doubtful areas asked on the picture, the draft beside it, then saved.
import { $, h, text, say } from "./dom.js";
import { getBlob, tell } from "./wire.js";
import { drawRows, rowsOf, sizeCanvas } from "./draw.js";
import { markLines } from "./marks.js";
import { areaQuestions } from "./areas.js";
import { count } from "./words.js";

// A line that is still being moved is not drafted at every pixel.
const REST = 350;
const CLASSES = ["very-tall", "taller", "guide", "shorter", "older-child", "child", "small-child"];
const DRAFT_HIGH = 460;
const DRAFT_WIDE = 340;

/** Shows the picture named by `begun`; `opened(file)` is called once the draft is saved. */
export async function showSketch(begun, opened) {
  const asked = begun.draft ?? {};
  const picture = begun.file;
  const image = h("img", { alt: "The picture that is drafted", draggable: false, hidden: true });
  const stage = h("div", { className: "sketch-stage" }, image);
  const frame = h("div", { className: "sketch-frame" }, stage);
  const canvas = h("canvas", { role: "img" });
  const told = h("p", { className: "hint", "aria-live": "polite" }, "Drafting…");
  const note = h("p", { className: "hint" });
  const trouble = h("p", { className: "warning", role: "alert", hidden: true });
  const list = h("div", { className: "questions" });
  const classes = h("select", { id: "class" }, (begun.classes ?? CLASSES).map((name) => h("option", { value: name }, name.replace(/-/g, " "))));
  classes.value = asked.class ?? "guide";
  const name = h("input", { id: "save-name", type: "text", autocomplete: "off", spellcheck: false, value: picture.replace(/^.*[\\/]/, "").replace(/\.[^.]*$/, "") });
  const again = h("button", { type: "button", className: "small", hidden: true, onclick: () => {
    lines.clear();
    draft();
  } }, "Guess the lines again");
  const save = h("button", { type: "submit", className: "primary" }, "Save and edit");
  let lines = null;
  let areas = null;
  let classGiven = !!asked.class;
  let turn = 0;

  const fields = () => ({
    picture,
    crop: asked.crop ?? undefined,
    ...(asked.stands && !classGiven ? { stands: asked.stands } : asked.zones && !classGiven ? { zones: asked.zones } : asked.rows && !classGiven ? { rows: asked.rows } : { class: classes.value }),
    marks: lines?.hasOwn() ? lines.said() : (asked.marks ?? ""),
    cloth: [...(asked.cloth ?? []), ...(areas?.said("cloth") ?? [])],
    ground: [...(asked.ground ?? []), ...(areas?.said("ground") ?? [])],
  });

  const show = (answer) => {
    const size = answer.picture ?? answer.table.reference;
    lines ??= markLines(stage, size.height, later);
    areas ??= areaQuestions(stage, list, size, draft);
    lines.set(answer.marks ?? {});
    areas.show(answer.areas ?? []);
    again.hidden = !lines.hasOwn();
    const { table } = answer;
    const cell = Math.min(DRAFT_HIGH / table.rows, DRAFT_WIDE / table.columns);
    canvas.style.width = `${cell * table.columns}px`;
    canvas.style.height = `${cell * table.rows}px`;
    drawRows(sizeCanvas(canvas, cell * table.columns, cell * table.rows), rowsOf(table), cell);
    const words = `${count(table.rows, "row")}, ${count(table.count.beads, "bead")}, ${count(table.legend.filter((entry) => entry.needed > 0).length, "colour")}. ${count(table.decisions.length, "doubt")} to look at.`;
    canvas.setAttribute("aria-label", `The draft: ${words}`);
    text(told, words);
    text(note, lines.any() ? "Where a line is off, drag it, or move it with the arrow keys." : "The drawing is in bead proportions: its rows are read as they are, and no lines are needed.");
  };

  async function draft() {
    turn += 1;
    const mine = turn;
    text(told, "Drafting…");
    try {
      const answer = await tell("/api/draft", fields());
      if (mine !== turn) return;
      trouble.hidden = true;
      show(answer);
    } catch (failure) {
      if (mine !== turn) return;
      text(told, "");
      trouble.hidden = false;
      text(trouble, failure.words);
    }
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
      const table = await tell("/api/draft/save", { ...fields(), save: `${name.value.trim().replace(/\.figure\.toml$/, "")}.figure.toml` });
      say("Saved.");
      opened(table.file);
    } catch (failure) {
      trouble.hidden = false;
      text(trouble, failure.words);
    }
    save.disabled = false;
  }

  classes.addEventListener("change", () => {
    classGiven = true;
    draft();
  });
  text($("title"), picture);
  $("sketch").replaceChildren(
    h("section", { className: "sketch-picture" }, h("h2", {}, "What the picture shows"), frame, note, again),
    h("section", { className: "sketch-questions" },
      h("h2", {}, "What only you know"),
      h("p", { className: "field" }, h("label", { htmlFor: "class" }, "How tall"), classes),
      list),
    h("section", { className: "sketch-draft" },
      h("h2", {}, "What the beads will be"),
      h("div", { className: "draft-frame" }, canvas), told, trouble,
      h("form", { onsubmit: keep },
        h("p", { className: "field" }, h("label", { htmlFor: "save-name" }, "Save as"), name),
        save)),
  );
  await Promise.all([showPicture(image, picture), draft()]);
}

/** The picture is there before the draft is; nothing stands in its place until it can be drawn. */
async function showPicture(image, picture) {
  image.src = URL.createObjectURL(await getBlob("/api/picture", picture));
  await image.decode();
  URL.revokeObjectURL(image.src);
  image.hidden = false;
}
