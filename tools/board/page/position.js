// Positions as plain values, and their texts. Pure functions; nothing of the page.
//
// A side is an array of 26 counts as its owner numbers the board: [0] borne off, [1] to [24] the
// points, [25] the bar. A position is {roller, opponent}. Whatever the text of a position or a play
// means is the server's to say; this reads what the page itself has to draw at once.

export const OFF = 0;
export const BAR = 25;
export const POINTS = 24;
export const SIDES = ["roller", "opponent"];

export const other = (side) => (side === "roller" ? "opponent" : "roller");

/** The same point by the other side's numbers. */
export const turned = (point) => POINTS + 1 - point;

function emptySide(checkers) {
  const side = new Array(26).fill(0);
  side[OFF] = checkers;
  return side;
}

export function clearedPosition(checkers) {
  return { roller: emptySide(checkers), opponent: emptySide(checkers) };
}

/** The start of a game; of 13 and 14 checkers there is none, since the sides would share points. */
export function startPosition(checkers) {
  const side = emptySide(0);
  if (checkers === 15) {
    Object.assign(side, { 24: 2, 13: 5, 8: 3, 6: 5 });
  } else {
    for (let i = 0; i < checkers; ++i) side[POINTS - i] = 1;
  }
  return { roller: side, opponent: [...side] };
}

export const hasStart = (checkers) => checkers === 15 || checkers <= 12;

export const exchanged = ({ roller, opponent }) => ({ roller: opponent, opponent: roller });

export const pips = (side) => side.reduce((sum, count, location) => sum + count * location, 0);

export const onBoard = (side) => side.reduce((sum, count) => sum + count, 0) - side[OFF];

export const keyOf = ({ roller, opponent }) => `${roller.join(",")}/${opponent.join(",")}`;

function sideText(side) {
  const parts = [];
  for (let location = BAR; location >= 1; --location) {
    const count = side[location];
    if (count === 0) continue;
    parts.push((location === BAR ? "bar" : String(location)) + (count > 1 ? `x${count}` : ""));
  }
  return parts.join(" ");
}

export function positionText({ roller, opponent }) {
  return `${sideText(roller)} / ${sideText(opponent)}`.trim();
}

function readPart(part) {
  const match = /^(bar|\d{1,2})(?:x(\d{1,2})|\((\d{1,2})\))?$/.exec(part);
  if (!match) throw new Error(`“${part}” is no place with checkers, such as 13x5 or bar.`);
  const location = match[1] === "bar" ? BAR : Number(match[1]);
  if (location < 1 || (location > POINTS && match[1] !== "bar")) {
    throw new Error(`“${part}”: points are 1 to 24, or bar.`);
  }
  const count = Number(match[2] ?? match[3] ?? 1);
  if (count < 1) throw new Error(`“${part}”: one checker at least was expected.`);
  return { location, count };
}

function readSide(text, checkers, whose) {
  const side = emptySide(checkers);
  for (const part of text.toLowerCase().split(/[\s,]+/).filter(Boolean)) {
    const { location, count } = readPart(part);
    side[location] += count;
    side[OFF] -= count;
  }
  if (side[OFF] < 0) {
    throw new Error(`${whose} has ${checkers - side[OFF]} checkers; ${checkers} at most.`);
  }
  return side;
}

/** Throws an Error in words. */
export function readPosition(text, checkers) {
  const halves = text.split("/");
  if (halves.length !== 2) {
    throw new Error("Expected the roller's checkers, a slash, and the opponent's.");
  }
  const position = {
    roller: readSide(halves[0], checkers, "The roller"),
    opponent: readSide(halves[1], checkers, "The opponent"),
  };
  const shared = sharedPoint(position);
  if (shared) {
    throw new Error(`Point ${shared} has checkers of both sides; ` +
                    `the opponent's ${turned(shared)} is the roller's ${shared}.`);
  }
  return position;
}

function sharedPoint({ roller, opponent }) {
  for (let point = 1; point <= POINTS; ++point) {
    if (roller[point] > 0 && opponent[turned(point)] > 0) return point;
  }
  return 0;
}

/** Why nothing can be asked about a position; "" where it can. Shared points cannot come up. */
export function complaint(position) {
  const without = SIDES.filter((side) => onBoard(position[side]) === 0);
  if (without.length === 2) return "No checkers are on the board yet.";
  if (without.length === 1) {
    return `The ${without[0]} has no checkers on the board: this game is over.`;
  }
  return "";
}

/** The score as the other side sees it. */
export function exchangedScore(score) {
  const named = { "gammon-go": "gammon-save", "gammon-save": "gammon-go" };
  if (named[score]) return named[score];
  return score.replace(/^(\d+)-away\/(\d+)-away/, "$2-away/$1-away");
}
