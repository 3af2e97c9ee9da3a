// Which question is asked where the maker is, and which pegs its answer is for: all of them, unless the maker says that
// it is for this one alone.
import { store, key, pegs } from "./store.js";

/** Which of two questions at one peg was gone to: one of `which bead` and `what lies`. */
let goneTo = null;

/** The pegs of the question whose answer is for one peg alone, and what it asks. */
let alone = null;

/** The question asked where the maker is: a decision, or a single peg that is not sure. */
export function doubtNow() {
  if (store.chosen.length > 1) return undefined;
  const place = key(store.at.row, store.at.column);
  const here = store.decisionsAt.get(place) ?? [];
  return here.find((decision) => decision.asks === goneTo) ?? here[0] ?? store.doubtAt.get(place);
}

/** A decision was gone to; what was said of the last one holds no more. */
export function goneToDecision(decision) {
  goneTo = decision.asks;
  alone = null;
}

export const isColour = (doubt) => doubt?.asks === "which bead";

/** Whether an answer is for this peg alone. */
export const isAlone = (doubt) =>
  !!alone && alone.asks === doubt?.asks && doubt.pegs.every(({ row, column }) => alone.places.has(key(row, column)));

/** Chooses whether the answer to a question is for one peg alone. */
export function takeAlone(doubt, one) {
  alone = one ? { asks: doubt.asks, places: new Set(doubt.pegs.map(({ row, column }) => key(row, column))) } : null;
}

/** The pegs an answer is for, with their decision where it is for all of them; `all` has it so in any case. */
export function target(all = false) {
  const doubt = doubtNow();
  return doubt?.pegs && (all || !isAlone(doubt)) ? { places: doubt.pegs, decision: doubt } : { places: pegs(), decision: null };
}

/** What is left of a decision after an answer for one of its pegs. */
export function restOf(decision) {
  const places = new Set(decision.pegs.map(({ row, column }) => key(row, column)));
  const isRest = (other) =>
    other.asks === decision.asks && other.bead === decision.bead && other.pegs.every(({ row, column }) => places.has(key(row, column)));
  return store.table.decisions.find(isRest);
}
