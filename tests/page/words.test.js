// Steps as a maker would tell them. No browser.
import assert from "node:assert/strict";
import { test } from "node:test";
import { stepWords } from "../../src/page/assets/words.js";

test("a block of places counts its pegs", () => {
  for (const [line, told] of [
    ["place 11-14,1-2 peach", "peach on 8 pegs"],
    ["place 4,6 \"deep sea\"", "deep sea on row 4, column 6"],
    ["place 4,6 moss 5,6-7 coal in hat", "moss, coal on 3 pegs"],
    ["keep 1,1 3-4,1", "3 pegs kept"],
    ["lift -1-1,0", "3 pegs lifted"],
    ["not-meant thin 3,4", "thin is not meant so any more"],
  ]) {
    assert.equal(stepWords(line), told);
  }
});
