// Steps as a maker would tell them. No browser.
import assert from "node:assert/strict";
import { test } from "node:test";
import { leftWords, ownedWords, shortWords, stepWords } from "../../src/page/assets/words.js";

test("a block of places counts its pegs", () => {
  for (const [line, told] of [
    ["place 11-14,1-2 peach", "peach on 8 pegs"],
    ["place 4,6 \"deep sea\"", "deep sea on row 4, column 6"],
    ["place 4,6 moss 5,6-7 coal in hat", "moss, coal on 3 pegs"],
    ["keep 1,1 3-4,1", "3 pegs kept"],
    ["lift -1-1,0", "3 pegs lifted"],
    ["call hat \"wool hat\"", "part hat is wool hat now"],
    ["not-meant thin 3,4", "thin is not meant so any more"],
  ]) {
    assert.equal(stepWords(line), told);
  }
});

test("a tray counts down, and says what is short and what is not owned", () => {
  for (const [entry, told] of [
    [{ needed: 12, left: 28, short: 0, tried: false }, "12 laid, 28 left"],
    [{ needed: 0, left: 40, short: 0, tried: false }, "40 left"],
    [{ needed: 12, left: 0, short: 3, tried: false }, "12 laid, 3 short"],
    [{ needed: 12, left: null, short: 0, tried: false }, "12 laid"],
    [{ needed: 0, left: 0, short: 0, tried: true }, "not owned"],
    [{ needed: 2, left: 0, short: 2, tried: true }, "2 laid, not owned"],
  ]) {
    assert.equal(ownedWords(entry), told);
  }
  assert.equal(shortWords({ bead: "poppy", needed: 9, owned: 4 }), "poppy runs out: 9 needed, 4 owned");
  assert.equal(shortWords({ bead: "teal", needed: 2, owned: 0 }), "teal is not owned: 2 needed");
});

test("what is left is counted in questions", () => {
  assert.equal(leftWords({ decisions: [{}], asked: 40 }), "1 doubt left");
  assert.equal(leftWords({ decisions: [], asked: 40 }), "All doubts settled");
  assert.equal(leftWords({ decisions: [], asked: 0 }), "No doubts");
});
