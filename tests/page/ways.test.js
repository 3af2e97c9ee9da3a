// Each of the hand's ways by itself: what it does, that it is one step, and that it has its place at every size.
import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { MOUSE, PHONE, accessible, demo, launch, open, saved, serve, session, stepsOf } from "./support.js";
import { inTray, peg } from "./hands.js";

const FIGURE = "milk-carter.figure.toml";

let browser;
before(async () => { browser = await launch(); });
after(() => browser.close());

/** A figure on the table, and what is done with it. */
const atTheTable = (context, run) => session(browser, { files: [FIGURE, "milk-carter.png"], context }, run);

const label = (page, at) => peg(page, at).getAttribute("aria-label");
const lastStep = (page) => page.locator("#undo").getAttribute("aria-label");

test("the bead under the pointer comes into the hand, and the picture names the nearest", async () => {
  await atTheTable(MOUSE, async (page) => {
    await peg(page, [20, 12]).hover();
    await page.keyboard.press("h");
    await page.locator("#hand", { hasText: "dove in your hand" }).waitFor();
    await peg(page, [16, 4]).click({ modifiers: ["Alt"] });
    await page.locator("#hand", { hasText: "chestnut in your hand" }).waitFor();
    assert.match(await lastStep(page), /nothing/);
    await page.keyboard.press("Escape");
    // His cap, as drawn: moss is what it was drafted in.
    await peg(page, [1, 6]).click();
    await page.keyboard.press("c");
    const near = page.locator(".near button");
    await near.first().waitFor();
    assert.match(await near.first().textContent(), /moss \d+\.\d$/);
    const apart = (await near.allTextContents()).map((words) => Number(/[\d.]+$/.exec(words)[0]));
    assert.deepEqual(apart, apart.toSorted((one, other) => one - other));
    await near.first().click();
    await page.locator("#hand", { hasText: "moss in your hand" }).waitFor();
    await accessible(page, "the nearest beads");
  });
});

test("the picture names the nearest beads where a finger presses it", async () => {
  await atTheTable(PHONE, async (page) => {
    const picture = page.locator("#reference-frame");
    await picture.scrollIntoViewIfNeeded();
    const { width, height } = await picture.boundingBox();
    // Beside his cap, on paper.
    await picture.tap({ position: { x: width * 0.1, y: height * 0.1 } });
    await page.locator(".near button", { hasText: "chalk" }).first().waitFor();
    await page.locator(".near button").first().tap();
    await page.locator("#hand", { hasText: "chalk in your hand" }).waitFor();
    await accessible(page, "the nearest beads at 360 pixels");
  });
});

for (const [width, context] of [["1440", MOUSE], ["360", PHONE]]) {
  test(`steps are a list to go back to, and forward again, ${width}`, async () => {
    await atTheTable(context, async (page, table) => {
      const press = (locator) => (context.hasTouch ? locator.tap() : locator.click());
      const first = table.read(FIGURE);
      await press(inTray(page, "coal"));
      for (const at of [[1, 1], [1, 2], [1, 3]]) {
        await press(peg(page, at));
        await saved(page);
      }
      const last = table.read(FIGURE);
      const steps = page.locator("#past-body button");
      assert.equal(await steps.count(), 4);
      await press(steps.nth(2));
      await page.locator("#past-body .undone").nth(1).waitFor();
      assert.match(await label(page, [1, 1]), /coal/);
      assert.match(await label(page, [1, 2]), /empty/);
      await press(page.getByRole("button", { name: "Before these steps" }));
      await page.locator("#past-body .undone").nth(2).waitFor();
      assert.equal(table.read(FIGURE), first);
      await accessible(page, `steps undone, ${width}`);
      await press(steps.first());
      await page.waitForFunction(() => !document.querySelector("#past-body .undone"));
      assert.equal(table.read(FIGURE), last);
    });
  });
}

test("a copy is laid again, mirrored, and becomes a part", async () => {
  await atTheTable(MOUSE, async (page, table) => {
    await peg(page, [20, 12]).dblclick();
    await page.keyboard.press("Control+c");
    await peg(page, [16, 1]).click();
    await page.keyboard.press("Control+Shift+V");
    await saved(page);
    assert.match(await lastStep(page), /19 pegs copied to row 16, column 1/);
    // The can, its wide foot to the other side now, stays chosen and becomes a part.
    assert.match(await label(page, [20, 2]), /dove/);
    await page.keyboard.press("w");
    await page.locator("#part-name").fill("second can");
    await page.keyboard.press("Enter");
    await saved(page);
    assert.match(table.read(FIGURE), /name = "second can"/);
    await page.keyboard.press("Control+a");
    assert.ok((await page.locator(".peg.chosen").count()) > 160);
    await page.keyboard.press("Escape");
    assert.equal(await page.locator(".peg.chosen").count(), 0);
  });
});

test("beads are shown larger and smaller, the picture under them at any strength", async () => {
  await atTheTable(MOUSE, async (page) => {
    const cell = () => peg(page, [10, 6]).evaluate((element) => element.getBoundingClientRect().width);
    const fits = await cell();
    await page.keyboard.press("+");
    assert.ok((await cell()) > fits);
    await page.keyboard.press("0");
    assert.equal(await cell(), fits);
    await peg(page, [10, 6]).hover();
    await page.keyboard.down("Control");
    await page.mouse.wheel(0, -100);
    await page.keyboard.up("Control");
    await page.waitForFunction((fits) => document.querySelector(".peg").getBoundingClientRect().width > fits, fits);
    // The button in the middle takes the board along.
    for (let larger = 0; larger < 4; larger += 1) await page.keyboard.press("+");
    const spot = await peg(page, [10, 6]).boundingBox();
    const frame = await page.locator("#board-frame").boundingBox();
    await page.mouse.move(frame.x + frame.width / 2, frame.y + 300);
    await page.mouse.down({ button: "middle" });
    await page.mouse.move(frame.x + frame.width / 2 - 40, frame.y + 250, { steps: 4 });
    await page.mouse.up({ button: "middle" });
    const gone = await peg(page, [10, 6]).boundingBox();
    assert.deepEqual([Math.round(gone.x - spot.x), Math.round(gone.y - spot.y)], [-40, -50]);
    assert.match(await lastStep(page), /nothing/);
    await page.locator("#under").click();
    await page.locator("#strength").fill("30");
    assert.equal(await page.locator("#under-canvas").evaluate((canvas) => getComputedStyle(canvas).opacity), "0.3");
    await accessible(page, "zoomed, the picture under");
  });
});

test("one finger lays, two fingers enlarge and move, twelve rows stay in sight", async () => {
  await atTheTable(PHONE, async (page, table) => {
    const fingers = await page.context().newCDPSession(page);
    const touch = (type, ...points) => fingers.send("Input.dispatchTouchEvent", { type, touchPoints: points.map(([x, y], id) => ({ x, y, id })) });
    await peg(page, [2, 6]).tap();
    await page.locator("#doubt summary").tap();
    await page.locator("[data-does=take-bead]").tap();
    await page.locator("#hand", { hasText: "moss in your hand" }).waitFor();
    const seen = await page.evaluate(() => {
      const foot = document.getElementById("hand").getBoundingClientRect().top;
      return [...document.querySelectorAll(".peg-row")].map((row) => row.getBoundingClientRect()).filter((box) => box.top >= 0 && box.bottom <= foot).length;
    });
    assert.ok(seen >= 12, `${seen} rows`);
    const middle = async (at) => {
      const box = await peg(page, at).boundingBox();
      return [box.x + box.width / 2, box.y + box.height / 2];
    };
    const top = await page.evaluate(() => scrollY);
    await touch("touchStart", await middle([9, 4]));
    for (const at of [[9, 5], [9, 6], [10, 6]]) await touch("touchMove", await middle(at));
    await touch("touchEnd");
    await saved(page);
    assert.match(await lastStep(page), /moss on 4 pegs/);
    assert.equal(await page.evaluate(() => scrollY), top, "laying does not scroll");
    const before = table.read(FIGURE);
    const wide = (await peg(page, [9, 4]).boundingBox()).width;
    const [one, other] = [await middle([9, 4]), await middle([9, 8])];
    await touch("touchStart", one);
    await touch("touchStart", one, other);
    await touch("touchMove", [one[0] - 30, one[1]], [other[0] + 30, other[1]]);
    await touch("touchEnd");
    await page.waitForFunction((wide) => document.querySelector(".peg").getBoundingClientRect().width > wide, wide);
    await saved(page);
    assert.equal(table.read(FIGURE), before, "two fingers lay nothing");
    // With nothing in the hand as well, and the board goes along under them.
    await page.getByRole("button", { name: "Put it back" }).tap();
    const large = (await peg(page, [9, 4]).boundingBox()).width;
    const [left, right] = [await middle([9, 4]), await middle([9, 6])];
    await touch("touchStart", left, right);
    for (const by of [10, 20, 30, 40]) await touch("touchMove", [left[0] - by, left[1] - by], [right[0] + by, right[1] - by]);
    await touch("touchEnd");
    await page.waitForFunction((large) => document.querySelector(".peg").getBoundingClientRect().width > large, large);
    const [was, board] = [await peg(page, [9, 4]).boundingBox(), await page.locator("#board-frame").boundingBox()];
    const [third, fourth] = [[board.x + 100, board.y + 150], [board.x + 200, board.y + 150]];
    await touch("touchStart", third, fourth);
    for (const by of [10, 20, 30]) await touch("touchMove", [third[0] - by, third[1] - by], [fourth[0] - by, fourth[1] - by]);
    await touch("touchEnd");
    const now = await peg(page, [9, 4]).boundingBox();
    assert.deepEqual([Math.round(now.x - was.x), Math.round(now.y - was.y)], [-30, -30]);
    assert.equal(table.read(FIGURE), before);
    await accessible(page, "a bead in the hand at 360 pixels");
  });
});

const LAYOUTS = [
  ["768", { viewport: { width: 768, height: 1024 } }],
  // A screen of 1440 by 900 at 200 %.
  ["200 %", { viewport: { width: 720, height: 450 } }],
  ["3840", { viewport: { width: 3840, height: 2160 } }],
  ["1440, dark", { ...MOUSE, colorScheme: "dark" }],
  ["360, dark", { ...PHONE, colorScheme: "dark" }],
];

for (const [width, context] of LAYOUTS) {
  test(`what the hand needs has its place, ${width}`, async () => {
    await atTheTable(context, async (page) => {
      const press = (locator) => (context.hasTouch ? locator.tap() : locator.click());
      const fits = async (what) => {
        assert.equal(await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth), 0, what);
        await accessible(page, `${what}, ${width}`);
      };
      await press(peg(page, [20, 12]));
      await press(page.locator("#doubt summary"));
      assert.ok(await page.locator("[data-does=touching]").evaluate((it) => it.getBoundingClientRect().bottom <= innerHeight), "what else can be done is in sight");
      await fits("more at a peg");
      await press(page.locator("[data-does=touching]"));
      assert.equal(await page.locator(".peg.chosen").count(), 19);
      await fits("a patch is chosen");
      await press(page.locator("[data-does=copy]"));
      await press(page.locator("[data-does=none]"));
      await page.locator("[data-does=paste-mirrored]").waitFor();
      await press(page.locator("#under"));
      await press(inTray(page, "chestnut"));
      // Its name is there whole, beside all that stands in its row.
      assert.deepEqual(await page.locator(".held").evaluate((held) => [held.scrollWidth - held.clientWidth, held.scrollHeight - held.clientHeight].map((over) => over > 0)), [false, false]);
      await fits("a bead in the hand, the picture under");
      const small = await page.evaluate(() => [...document.querySelectorAll("#beads button, #beads input, #beads select, #doubt button, #doubt summary, #past button")]
        .map((it) => [it, it.getBoundingClientRect()]).filter(([, box]) => box.width > 0 && (box.width < 24 || box.height < 24)).map(([it]) => it.outerHTML.slice(0, 80)));
      assert.deepEqual(small, []);
    });
  });
}

test("what was copied or cut is laid in one step, also mirrored, and also in another figure", async () => {
  const OTHER = "lamplighter.figure.toml";
  const table = demo(FIGURE, OTHER, "milk-carter.png", "lamplighter.png");
  const server = await serve(table.folder);
  const shown = await open(browser, server.address);
  const { page } = shown;
  const toTable = async (name) => {
    await page.locator(".figure-card", { hasText: name }).first().click();
    await page.locator("#title", { hasText: name }).waitFor();
    await saved(page);
  };
  try {
    await toTable("Milk-carter");
    // A hand and its sleeve: two beads.
    await peg(page, [12, 9]).click();
    await peg(page, [13, 10]).click({ modifiers: ["Shift"] });
    await page.keyboard.press("Control+x");
    await peg(page, [1, 10]).click();
    await page.keyboard.press("Control+Shift+V");
    await saved(page);
    assert.equal(stepsOf(table, FIGURE), 1);
    assert.match(await label(page, [12, 9]), /empty/);
    assert.match(await label(page, [1, 11]), /milk/);
    assert.match(await label(page, [1, 10]), /fawn/);
    await page.keyboard.press("Control+c");
    await page.locator("#to-shelf").click();
    await toTable("Lamplighter");
    const other = table.read(OTHER);
    await peg(page, [1, 1]).click();
    await page.keyboard.press("Control+v");
    await saved(page);
    assert.equal(stepsOf(table, OTHER), 1);
    assert.match(await label(page, [1, 1]), /fawn/);
    assert.match(await label(page, [1, 2]), /milk/);
    await page.keyboard.press("Control+z");
    await saved(page);
    assert.equal(table.read(OTHER), other);
    shown.fine();
  } finally {
    await shown.close();
    await server.stop();
    table.remove();
  }
});

test("where the board grows, the maker's place goes along with its beads", async () => {
  await atTheTable(MOUSE, async (page) => {
    const now = async () => /^row (\d+), column (\d+), ([^,]+)/.exec(await page.locator(".peg.now").getAttribute("aria-label")).slice(1);
    await page.locator(".peg[aria-label^='row 10, column 6,']").focus();
    const [, , bead] = await now();
    const question = await page.locator(".question").textContent();
    // A bead above the first row, and one left of the first column, laid by another hand than the one on the board.
    for (const [line, wanted] of [["place 0,3 poppy", ["11", "6"]], ["place 5,0 poppy", ["11", "7"]]]) {
      await page.evaluate(async (made) => (await import("./store.js")).change(made), line);
      await saved(page);
      assert.deepEqual(await now(), [...wanted, bead]);
      // What else it could be is known again once the picture is read for the larger board.
      await page.locator(".question", { hasText: question }).waitFor();
    }
    for (const wanted of [["11", "6"], ["10", "6"]]) {
      await page.keyboard.press("Control+z");
      await saved(page);
      assert.deepEqual(await now(), [...wanted, bead]);
    }
  });
});

test("a choice by keys begins where the maker is, wherever the last one began", async () => {
  await atTheTable(MOUSE, async (page) => {
    await peg(page, [2, 4]).focus();
    await page.keyboard.press("Shift+ArrowRight");
    await peg(page, [20, 4]).click();
    await page.keyboard.press("Shift+ArrowRight");
    assert.equal(await page.locator(".peg.chosen").count(), 2);
  });
});
