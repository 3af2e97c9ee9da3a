// What a hand does most: a spoilt figure is cleaned up, 60 beads in ten places, peg by peg and by the ways there are for
// more than one peg. Both lead to the same figure; the second takes at most half the actions.
import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { MOUSE, PHONE, PROGRAM, accessible, demo, launch, open, ready, saved, serve } from "./support.js";

const FIGURE = "milk-carter.figure.toml";
// Each undoes what was right: a can that hangs too far in, a hat and a leg of other beads, stripes gone, a hand and a
// foot the wrong way round, and four single beads.
const SPOILT = [
  "move 16-22,10-13 to 16,9", "fill 1,4 flax", "place 16-23,7-8 peat", "place 13-14,4-8 chestnut", "mirror 5-7,1-2",
  "move 24,3-5 to 24,2", "place 3,4 poppy", "place 4,6 coal", "place 6,5 denim", "place 15,6 flax",
];
const OFF = 60;

let browser;
before(async () => { browser = await launch(); });
after(() => browser.close());

const peg = (page, [row, column]) => page.locator(`#board [role=row]:nth-child(${row + 1}) [role=gridcell]:nth-of-type(${column + 1})`);
const looks = (page) => page.evaluate(() => [...document.querySelectorAll(".peg")].map((peg) => {
  const [row, column, bead] = peg.getAttribute("aria-label").split(", ");
  return `${row}, ${column}: ${peg.classList.contains("empty") ? "no bead" : bead}`;
}));

/** The figure as it should be, spoilt and cleaned up again; how many actions and seconds that took. */
async function cleanUp(context, hand, does) {
  const table = demo(FIGURE, "milk-carter.png");
  const server = await serve(table.at(FIGURE));
  const shown = await open(browser, server.address, context);
  const { page } = shown;
  try {
    await ready(page);
    const right = await looks(page);
    execFileSync(PROGRAM, ["edit", table.at(FIGURE), ...SPOILT.flatMap((line) => ["--do", line])], { stdio: "ignore" });
    await page.reload();
    await ready(page);
    const off = (await looks(page)).filter((look, at) => look !== right[at]).length;
    assert.equal(off, OFF);
    const acts = hand(page);
    const begun = performance.now();
    await acts.begin?.();
    await does(acts);
    const seconds = (performance.now() - begun) / 1000;
    await saved(page);
    assert.deepEqual((await looks(page)).filter((look, at) => look !== right[at]), []);
    await accessible(page, "after a clean-up");
    shown.fine();
    return { actions: acts.count(), seconds };
  } finally {
    await shown.close();
    await server.stop();
    table.remove();
  }
}

const run = (row, first, last) => Array.from({ length: last - first + 1 }, (_, at) => [row, first + at]);

/** What is wrong, cleaned up with beads one by one or in strokes. */
async function stroke(hand) {
  // The can: its beads go, and are laid again where they belong.
  await hand.lift([run(16, 10, 11), run(17, 10, 11), run(18, 10, 12), run(19, 10, 12), run(20, 9, 11), run(21, 9, 11), run(22, 10, 12)]);
  await hand.lay("dove", [run(16, 11, 12), run(17, 11, 12), run(18, 11, 13), run(19, 11, 13), run(20, 10, 12), run(21, 10, 12), run(22, 11, 13)]);
  await hand.lay("moss", [run(1, 4, 7), run(2, 3, 8)]);
  await hand.lay("chestnut", [...[16, 17, 18, 19, 20, 21, 22, 23].map((row) => run(row, 7, 8)), run(15, 6, 6)]);
  await hand.lay("denim", [[13, 4], [13, 6], [13, 8]].map((at) => [at]));
  await hand.lay("poppy", [[13, 5], [13, 7], [14, 5], [14, 7]].map((at) => [at]));
  await hand.lay("milk", [[14, 4], [14, 6], [14, 8]].map((at) => [at]));
  await hand.lift([run(5, 2, 2), run(7, 2, 2), run(24, 2, 2)]);
  await hand.lay("fawn", [run(5, 1, 1), run(7, 1, 1)]);
  await hand.lay("coal", [run(24, 5, 5)]);
  await hand.lay("peat", [run(3, 4, 4)]);
  await hand.lay("wine", [run(4, 6, 6)]);
  await hand.lay("mustard", [run(6, 5, 5)]);
}

/** The same by the ways there are for more than one peg. */
async function wholes(hand) {
  await hand.patch([20, 10], [0, 1]);
  await hand.fill("moss", [2, 5]);
  await hand.fill("chestnut", [20, 7], [15, 6]);
  await hand.copy([11, 4], [12, 8], [13, 4]);
  await hand.mirror([5, 1], [7, 2]);
  await hand.block([24, 2], [24, 4], [0, 1]);
  await hand.lay("peat", [run(3, 4, 4)]);
  await hand.lay("wine", [run(4, 6, 6)]);
  await hand.lay("mustard", [run(6, 5, 5)]);
}

/** Counts what a maker does. */
function counted(does) {
  let count = 0;
  const act = async (...each) => {
    for (const one of each) {
      await one();
      count += 1;
    }
  };
  return { count: () => count, ...does(act) };
}

const inTray = (page, bead) => page.locator("#bead-list [role=option]").filter({ has: page.getByText(bead, { exact: true }) });
/** Whether a question is about more than this peg, and would be answered for all of them. */
const asksForAll = (page) => page.locator("#for-one:not(:checked)").isVisible();
const add = ([row, column], [down, right]) => [row + down, column + right];

function mouse(page) {
  const to = async (at, moves) => {
    const box = await peg(page, at).boundingBox();
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2, moves);
  };
  const drag = (from, last, by = "left") => async () => {
    await to(from);
    await page.mouse.down({ button: by });
    await to(last, { steps: 12 });
    await page.mouse.up({ button: by });
    await saved(page);
  };
  const press = (at, options) => () => peg(page, at).click(options).then(() => saved(page));
  const key = (name) => () => page.keyboard.press(name).then(() => saved(page));
  const take = (bead) => () => inTray(page, bead).click();
  return counted((act) => ({
    async lay(bead, strokes) {
      await act(take(bead));
      for (const pegs of strokes) await act(pegs.length > 1 ? drag(pegs[0], pegs.at(-1)) : press(pegs[0]));
      await act(key("Escape"));
    },
    async lift(strokes) {
      for (const pegs of strokes) {
        await act(pegs.length > 1 ? drag(pegs[0], pegs.at(-1)) : press(pegs[0]));
        if (await asksForAll(page)) await act(key("a"));
        await act(key("Delete"));
      }
    },
    async patch(at, by) {
      await act(() => peg(page, at).dblclick(), drag(at, add(at, by)));
    },
    async fill(bead, ...places) {
      await act(take(bead));
      for (const at of places) await act(press(at, { modifiers: ["Shift"] }));
      await act(key("Escape"));
    },
    async copy(from, last, at) {
      await act(drag(from, last), key("Control+c"), press(at), key("Control+v"));
    },
    async mirror(from, last) {
      await act(drag(from, last), key("m"));
    },
    async block(from, last, by) {
      await act(press([1, 1]), drag(from, last), drag(from, add(from, by)));
    },
  }));
}

function keyboard(page) {
  const now = () => page.evaluate(() => /^row (\d+), column (\d+)/.exec(document.querySelector(".peg.now").getAttribute("aria-label")).slice(1).map(Number));
  const key = (name) => () => page.keyboard.press(name).then(() => saved(page));
  const arrows = ([down, right], shift = "") => [
    ...Array(Math.abs(down)).fill(`${shift}Arrow${down < 0 ? "Up" : "Down"}`),
    ...Array(Math.abs(right)).fill(`${shift}Arrow${right < 0 ? "Left" : "Right"}`),
  ].map(key);
  return counted((act) => {
    const go = async ([row, column]) => {
      const [r, c] = await now();
      await act(...arrows([row - r, column - c]));
    };
    const choose = async (from, last) => {
      await go(from);
      await act(...arrows([last[0] - from[0], last[1] - from[1]], "Shift+"));
      if (await asksForAll(page)) await act(key("a"));
    };
    const find = async (bead) => {
      await act(key("b"), ...[...bead.slice(0, 3)].map(key), key("Enter"));
    };
    const carry = async (by) => {
      await page.keyboard.down("Alt");
      await act(...arrows(by).map((press) => press));
      await page.keyboard.up("Alt");
      await saved(page);
    };
    return {
      begin: () => act(key("Tab"), key("Enter")),
      async lay(bead, strokes) {
        for (const pegs of strokes) {
          await choose(pegs[0], pegs.at(-1));
          await find(bead);
        }
      },
      async lift(strokes) {
        for (const pegs of strokes) {
          await choose(pegs[0], pegs.at(-1));
          await act(key("Delete"));
        }
      },
      async patch(at, by) {
        await go(at);
        await act(key("t"));
        await carry(by);
      },
      async fill(bead, ...places) {
        for (const at of places) {
          await go(at);
          await act(key("t"));
          await find(bead);
        }
      },
      async copy(from, last, at) {
        await choose(from, last);
        await act(key("Control+c"));
        await go(at);
        await act(key("Control+v"));
      },
      async mirror(from, last) {
        await choose(from, last);
        await act(key("m"));
      },
      async block(from, last, by) {
        await choose(from, last);
        await carry(by);
      },
    };
  });
}

function touch(page) {
  const tap = (locator) => () => locator.tap().then(() => saved(page));
  const press = (at) => tap(peg(page, at));
  const does = (name) => tap(page.locator(`#doubt [data-does="${name}"]`));
  const take = (bead) => tap(inTray(page, bead));
  const back = tap(page.getByRole("button", { name: "Put it back" }));
  return counted((act) => {
    const more = async () => {
      if (!(await page.locator("#doubt details[open]").count())) await act(tap(page.locator("#doubt summary")));
    };
    const chosen = async (from, last) => {
      await act(press(from));
      await more();
      await act(does("block"), press(last));
    };
    const arrow = ([down, right]) => tap(page.getByRole("button", { name: `Move ${down < 0 ? "up" : down > 0 ? "down" : right < 0 ? "left" : "right"}`, exact: true }).first());
    const carry = async (by) => {
      await act(arrow(by));
      await page.waitForTimeout(900);
      await saved(page);
    };
    return {
      async lay(bead, strokes) {
        await act(take(bead));
        for (const at of strokes.flat()) await act(press(at));
        await act(back);
      },
      async lift(strokes) {
        for (const at of strokes.flat()) {
          await act(press(at));
          if (await asksForAll(page)) await act(tap(page.locator("#for-one")));
          await act(tap(page.locator("[data-choice=lift]")));
        }
      },
      async patch(at, by) {
        await act(press(at));
        await more();
        await act(does("touching"));
        await carry(by);
      },
      async fill(bead, ...places) {
        await act(take(bead), tap(page.getByRole("button", { name: "Whole patch" })));
        for (const at of places) await act(press(at));
        await act(tap(page.getByRole("button", { name: "Whole patch" })), back);
      },
      async copy(from, last, at) {
        await chosen(from, last);
        await act(does("copy"), press(at));
        await more();
        await act(does("paste"));
      },
      async mirror(from, last) {
        await chosen(from, last);
        await act(does("mirror"));
      },
      async block(from, last, by) {
        await chosen(from, last);
        await carry(by);
      },
    };
  });
}

for (const [name, context, hand] of [["mouse", MOUSE, mouse], ["keyboard", MOUSE, keyboard], ["touch, 360 pixels wide", PHONE, touch]]) {
  test(`sixty beads cleaned up by ${name}`, async (t) => {
    const each = await cleanUp(context, hand, stroke);
    const whole = await cleanUp(context, hand, wholes);
    t.diagnostic(`${each.actions} actions, ${each.seconds.toFixed(1)} s; with whole patches and blocks ${whole.actions}, ${whole.seconds.toFixed(1)} s`);
    assert.ok(whole.actions * 2 <= each.actions, `${whole.actions} of ${each.actions}`);
  });
}

/** A figure on the table, and what is done with it. */
async function atTheTable(context, run) {
  const table = demo(FIGURE, "milk-carter.png");
  const server = await serve(table.at(FIGURE));
  const shown = await open(browser, server.address, context);
  try {
    await ready(shown.page);
    await run(shown.page, table);
    shown.fine();
  } finally {
    await shown.close();
    await server.stop();
    table.remove();
  }
}

const label = (page, at) => peg(page, at).getAttribute("aria-label");
const lastStep = (page) => page.locator("#undo").getAttribute("aria-label");

test("the bead under the pointer comes into the hand, and the picture names the nearest", async () => {
  await atTheTable(MOUSE, async (page) => {
    await peg(page, [20, 12]).hover();
    await page.keyboard.press("h");
    await page.locator("#hand", { hasText: "dove in your hand" }).waitFor();
    await page.keyboard.press("Escape");
    // His cap, as drawn: moss is what it was drafted in.
    await peg(page, [1, 6]).click();
    await page.keyboard.press("c");
    const near = page.locator(".near button");
    await near.first().waitFor();
    assert.match(await near.first().textContent(), /moss \d+\.\d$/);
    await near.first().click();
    await page.locator("#hand", { hasText: "moss in your hand" }).waitFor();
    await page.locator("#reference-frame img").click({ position: { x: 5, y: 5 } });
    await near.first().waitFor();
  });
});

test("steps are a list to go back to, and forward again", async () => {
  await atTheTable(MOUSE, async (page, table) => {
    const first = table.read(FIGURE);
    await page.locator("#bead-list [role=option]", { hasText: "coal" }).click();
    for (const at of [[1, 1], [1, 2], [1, 3]]) {
      await peg(page, at).click();
      await saved(page);
    }
    const last = table.read(FIGURE);
    const steps = page.locator("#past-body button");
    assert.equal(await steps.count(), 4);
    await steps.nth(2).click();
    await page.locator("#past-body .undone").nth(1).waitFor();
    assert.match(await label(page, [1, 1]), /coal/);
    assert.match(await label(page, [1, 2]), /empty/);
    await page.getByRole("button", { name: "Before these steps" }).click();
    await page.locator("#past-body .undone").nth(2).waitFor();
    assert.equal(table.read(FIGURE), first);
    await page.locator("#past-body button").first().click();
    await page.waitForFunction(() => !document.querySelector("#past-body .undone"));
    assert.equal(table.read(FIGURE), last);
  });
});

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
    await accessible(page, "a bead in the hand at 360 pixels");
  });
});
