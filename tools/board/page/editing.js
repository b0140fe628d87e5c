// Setting up: one checker more, less or elsewhere. Pure functions; each gives {position, words}, or
// {complaint} where it cannot be done. A side's checkers are always as many: what is taken from the
// board is borne off, and what is added comes from there.
import { OFF, other, pips } from "./position.js";
import { countAt, isPoint, locationAt, placeWords, sideAt } from "./board_svg.js";
import { checkersWords } from "./parts.js";

function changed(position, side, from, to, place) {
  const counts = [...position[side]];
  --counts[from];
  ++counts[to];
  const after = { ...position, [side]: counts };
  return { position: after,
           words: `${placeWords(after, place)}; the ${side} has ${pips(counts)} pips` };
}

const upper = (words) => words[0].toUpperCase() + words.slice(1);

const heldBy = (place, side) => `Point ${place} is held by the ${side}: ` +
                                "take those checkers away first.";

/** A place of the other side's bar or tray stands for one's own. */
function ownPlace(place, side) {
  return isPoint(place) ? place : `${place.split(" ")[0]} ${side}`;
}

export function movedChecker(position, from, to) {
  if (countAt(position, from) === 0) return { complaint: `${upper(placeWords(position, from))}.` };
  const side = sideAt(position, from);
  const place = ownPlace(to, side);
  if (place === from) return { position, words: placeWords(position, from) };
  if (isPoint(place) && sideAt(position, place) === other(side)) {
    return { complaint: heldBy(place, other(side)) };
  }
  return changed(position, side, locationAt(from, side), locationAt(place, side), place);
}

export function addedChecker(position, at, side) {
  const place = ownPlace(at, side);
  if (place.startsWith("off")) return takenChecker(position, at);
  if (isPoint(place) && sideAt(position, place) === other(side)) {
    return { complaint: heldBy(place, other(side)) };
  }
  if (position[side][OFF] === 0) {
    const all = position[side].reduce((sum, count) => sum + count, 0);
    return { complaint: `All ${checkersWords(all)} of the ${side} are on the board: ` +
                        "take one away first, or move one." };
  }
  return changed(position, side, OFF, locationAt(place, side), place);
}

export function takenChecker(position, place) {
  if (place.startsWith("off")) return { complaint: "What is borne off is away already." };
  if (countAt(position, place) === 0) {
    return { complaint: `${upper(placeWords(position, place))}: nothing to take away.` };
  }
  const side = sideAt(position, place);
  return changed(position, side, locationAt(place, side), OFF, place);
}

/** So many checkers of the side that stands there, or of the roller. */
export function countedCheckers(position, place, count) {
  if (place.startsWith("off")) return { complaint: "Borne off is what is not on the board." };
  const side = sideAt(position, place) ?? "roller";
  const location = locationAt(place, side);
  const counts = [...position[side]];
  counts[OFF] += counts[location] - count;
  counts[location] = count;
  if (counts[OFF] < 0) {
    return { complaint: `The ${side} has no ${checkersWords(count)} for that: ` +
                        `${-counts[OFF]} too many.` };
  }
  const after = { ...position, [side]: counts };
  return { position: after,
           words: `${placeWords(after, place)}; the ${side} has ${pips(counts)} pips` };
}
