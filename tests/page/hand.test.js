// What a hand does most: a spoilt figure is cleaned up, 60 beads in ten places, peg by peg and by the ways there are for
// more than one peg. Both lead to the same figure; the second takes at most half the actions.
import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { MOUSE, PHONE, PROGRAM, accessible, demo, launch, open, ready, saved, serve, stepsOf } from "./support.js";
import { from, keyboard, mouse, touch } from "./hands.js";

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

const looks = (page) => page.evaluate(() => [...document.querySelectorAll(".peg")].map((peg) => {
  const [row, column, bead] = peg.getAttribute("aria-label").split(", ");
  return `${row}, ${column}: ${peg.classList.contains("empty") ? "no bead" : bead}`;
}));

/** The figure as it should be, spoilt and cleaned up again in so many steps; how many actions and seconds that took. */
async function cleanUp(context, hand, does, steps) {
  const table = demo(FIGURE, "milk-carter.png");
  const server = await serve(table.at(FIGURE));
  const shown = await open(browser, server.address, context);
  const { page } = shown;
  try {
    await ready(page);
    const right = await looks(page);
    execFileSync(PROGRAM, ["edit", table.at(FIGURE), ...SPOILT.flatMap((line) => ["--do", line])], { stdio: "ignore" });
    const spoilt = table.read(FIGURE);
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
    if (steps) {
      assert.equal(stepsOf(table, FIGURE), SPOILT.length + steps);
      await page.locator("#past-body button").nth(steps).click();
      await page.locator("#past-body .undone").nth(steps - 1).waitFor();
      assert.equal(table.read(FIGURE), spoilt);
    }
    shown.fine();
    return { actions: acts.count(), seconds };
  } finally {
    await shown.close();
    await server.stop();
    table.remove();
  }
}

/** What is wrong, cleaned up with beads one by one and in straight strokes, as far as each of these ways goes. */
async function strokes(hand) {
  // The can, the hand and the foot: what lies too far in goes, what is missing is laid.
  await hand.lift([from([16, 10], [19, 10]), from([20, 9], [21, 9]), from([22, 10]), from([5, 2]), from([7, 2]), from([24, 2])]);
  await hand.lay("dove", [from([16, 12], [17, 12]), from([18, 13], [19, 13]), from([20, 12], [21, 12]), from([22, 13])]);
  await hand.lay("chestnut", [from([15, 6]), from([16, 7], [23, 8])]);
  await hand.lay("moss", [from([1, 4], [1, 7]), from([2, 3], [2, 8])]);
  await hand.lay("denim", [from([13, 4], [13, 8])]);
  await hand.lay("milk", [from([14, 4], [14, 8])]);
  await hand.lay("poppy", [from([13, 5], [14, 5]), from([13, 7], [14, 7])]);
  await hand.lay("fawn", [from([5, 1]), from([7, 1])]);
  await hand.lay("coal", [from([24, 5])]);
  await single(hand);
}

async function single(hand) {
  await hand.lay("peat", [from([3, 4])]);
  await hand.lay("wine", [from([4, 6])]);
  await hand.lay("mustard", [from([6, 5])]);
}

/** The same by the ways there are for more than one peg. */
async function wholes(hand) {
  await hand.patch([20, 10], [0, 1]);
  await hand.copy([11, 4], [12, 8], [2, 0]);
  await hand.mirror([5, 1], [7, 2]);
  await hand.block([24, 2], [24, 4], [0, 1]);
  await hand.fill("chestnut", [[15, 6], [20, 7]], [20, 5]);
  await hand.fill("moss", [[2, 5]]);
  await single(hand);
}
// Ten places are wrong, and each takes one step.
const PLACES = 10;

for (const [name, context, hand] of [["mouse", MOUSE, mouse], ["keyboard", MOUSE, keyboard], ["touch, 360 pixels wide", PHONE, touch]]) {
  test(`sixty beads cleaned up by ${name}`, async (t) => {
    const each = await cleanUp(context, hand, strokes);
    const whole = await cleanUp(context, hand, wholes, PLACES);
    t.diagnostic(`${each.actions} actions, ${each.seconds.toFixed(1)} s; with whole patches and blocks ${whole.actions}, ${whole.seconds.toFixed(1)} s`);
    assert.ok(whole.actions * 2 <= each.actions, `${whole.actions} of ${each.actions}`);
  });
}
