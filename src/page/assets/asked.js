// Which question is asked where the maker is, and which pegs its answer is for.
import { store, decisionsAt, keyOf, pegs } from "./store.js";

// Which of two questions at one peg was gone to.
let goneTo = null;

// The question whose answer is for one peg alone.
let alone = null;

// The question asked where the maker is: a decision, or a single peg that is not sure.
export function doubtNow() {
  if (store.chosen.length > 1) return undefined;
  const here = decisionsAt(store.at);
  return here.find((decision) => decision.asks === goneTo) ?? here[0] ?? store.doubtAt.get(keyOf(store.at));
}

export function goneToDecision(decision) {
  goneTo = decision.asks;
  alone = null;
}

export const isColour = (doubt) => doubt?.asks === "which bead";

const setOf = (doubt) => new Set(doubt.pegs.map(keyOf));
const lieIn = (doubt, places) => doubt.pegs.every((peg) => places.has(keyOf(peg)));

export const isAlone = (doubt) => !!alone && alone.asks === doubt?.asks && lieIn(doubt, alone.places);

export const takeAlone = (doubt, one) => { alone = one ? { asks: doubt.asks, places: setOf(doubt) } : null; };

// The pegs an answer is for, and their decision where it is for all; `all` has it so.
export function target(all = false) {
  const doubt = doubtNow();
  return doubt?.pegs && (all || !isAlone(doubt)) ? { places: doubt.pegs, decision: doubt } : { places: pegs(), decision: null };
}

// What is left of a decision after an answer for one of its pegs.
export function restOf(decision) {
  const places = setOf(decision);
  return store.table.decisions.find((other) => other.asks === decision.asks && other.bead === decision.bead && lieIn(other, places));
}
