// The board as a picture to touch: the same places, sizes and classes as the sheets' board, in
// engine/report/page/board_picture.cpp; tests/browser holds the two against each other.
//
// A place is "1" to "24" by the roller's numbers, "bar roller", "bar opponent", "off roller" or
// "off opponent". Each is an element that takes the focus and says what stands there.
import { BAR, OFF, POINTS, SIDES, pips, turned } from "./position.js";
import { checkersWords, drawn } from "./parts.js";

// Across: a tray for the cube, six slots, the bar, six slots, a tray for what is borne off.
const WIDTH = 640;
const SLOT = 40;
const LEFT = 60;
const BAR_WIDTH = 44;
const RIGHT_HALF = LEFT + 6 * SLOT + BAR_WIDTH;
const RIGHT = RIGHT_HALF + 6 * SLOT;
const BAR_X = LEFT + 6 * SLOT + BAR_WIDTH / 2;
const TRAY_X = RIGHT + 30;
// Downwards: numbers, slots, the middle, slots, numbers.
const TOP = 30;
const SLOT_LENGTH = 176;
const MIDDLE = 44;
const BOTTOM = TOP + 2 * SLOT_LENGTH + MIDDLE;
const CENTRE = (TOP + BOTTOM) / 2;
const HEIGHT = BOTTOM + TOP;
const RADIUS = 17;
const MOST_DISCS = 5;
const SLAB = 10;
const DIE = 34;

const ROWS = [
  ["13", "14", "15", "16", "17", "18", "bar opponent", "19", "20", "21", "22", "23", "24",
   "off opponent"],
  ["12", "11", "10", "9", "8", "7", "bar roller", "6", "5", "4", "3", "2", "1", "off roller"],
];
const PLACES = ROWS.flat();

/** The place beside another, by an arrow key; the same where the board ends. */
export function beside(place, key) {
  const row = ROWS[0].includes(place) ? 0 : 1;
  const column = ROWS[row].indexOf(place);
  if (key === "ArrowUp") return ROWS[0][column];
  if (key === "ArrowDown") return ROWS[1][column];
  if (key === "Home") return ROWS[row][0];
  if (key === "End") return ROWS[row][ROWS[row].length - 1];
  return ROWS[row][column + (key === "ArrowLeft" ? -1 : 1)] ?? place;
}

export const isPoint = (place) => /^\d/.test(place);

/** The location of a place in a side's own numbers, or null where the place is the other side's. */
export function locationAt(place, side) {
  if (isPoint(place)) return side === "roller" ? Number(place) : turned(Number(place));
  const [kind, owner] = place.split(" ");
  if (owner !== side) return null;
  return kind === "bar" ? BAR : OFF;
}

/** Who stands on a place, or whose it is; null for an empty point. */
export function sideAt(position, place) {
  if (!isPoint(place)) return place.split(" ")[1];
  return SIDES.find((side) => position[side][locationAt(place, side)] > 0) ?? null;
}

export function countAt(position, place) {
  const side = sideAt(position, place);
  return side ? position[side][locationAt(place, side)] : 0;
}

/** "point 13, five checkers of the roller". */
export function placeWords(position, place) {
  const count = countAt(position, place);
  const name = isPoint(place) ? `point ${place}` : place.startsWith("bar") ? "bar" : "borne off";
  const side = sideAt(position, place);
  if (count === 0) return isPoint(place) ? `${name}, empty` : `${name}, nothing of the ${side}`;
  return `${name}, ${checkersWords(count)} of the ${side}`;
}

function slotX(point) {
  const column = point <= 12 ? 12 - point : point - 13;
  return (column < 6 ? LEFT + SLOT * column : RIGHT_HALF + SLOT * (column - 6)) + SLOT / 2;
}

const isTop = (place) => ROWS[0].includes(place);

const box = (x, y, width, height, kind, rx = 0) =>
  drawn("rect", { x, y, width, height, class: kind, rx: rx || undefined });

const circle = (cx, cy, r, kind) => drawn("circle", { cx, cy, r, class: kind });

const label = (x, y, kind, text) => drawn("text", { x, y, class: kind }, String(text));

function disc(x, y, side) {
  if (side === "roller") return [circle(x, y, RADIUS, "disc roller")];
  return [circle(x, y, RADIUS, "disc opponent"), circle(x, y, RADIUS - 6, "ring")];
}

/** Where discs of a place stand: the first one's centre, and the step to the next. */
function stackAt(place) {
  if (!isPoint(place)) {
    const sign = isTop(place) ? -1 : 1;
    return { x: BAR_X, y: CENTRE + sign * 40, step: sign * 2 * RADIUS };
  }
  const x = slotX(Number(place));
  return isTop(place) ? { x, y: TOP + 3 + RADIUS, step: 2 * RADIUS }
                      : { x, y: BOTTOM - 3 - RADIUS, step: -2 * RADIUS };
}

function stack(place, side, count, marks) {
  const { x, y, step } = stackAt(place);
  const shown = Math.min(count, MOST_DISCS);
  const parts = [];
  for (let i = 0; i < shown; ++i) {
    parts.push(...disc(x, y + step * i, side));
    if (shown - i <= marks.arrived) parts.push(circle(x, y + step * i, RADIUS - 1, "arrived"));
  }
  for (let i = 0; i < marks.gone; ++i) {
    const at = Math.min(shown, MOST_DISCS - marks.gone) + i;
    if (at >= 0) parts.push(circle(x, y + step * at, RADIUS - 2, "gone"));
  }
  if (count > MOST_DISCS) {
    const at = y + step * (MOST_DISCS - 1);
    parts.push(label(x, at + 6, `count middle on-${side}`, count));
  }
  return parts;
}

function tray(side, count) {
  const isRoller = side === "roller";
  const parts = [];
  for (let i = 0; i < count; ++i) {
    const y = isRoller ? BOTTOM - 2 - (SLAB + 1) * (i + 1) : TOP + 3 + (SLAB + 1) * i;
    parts.push(box(TRAY_X - 20, y, 40, SLAB, `disc ${side}`, 3));
  }
  if (count > 0) {
    parts.push(label(TRAY_X, isRoller ? HEIGHT - 9 : TOP - 9, "number middle", `${count} off`));
  }
  return parts;
}

function field() {
  const parts = [
    box(4, TOP - 4, WIDTH - 8, BOTTOM - TOP + 8, "frame", 10),
    box(LEFT, TOP, 6 * SLOT, BOTTOM - TOP, "outer"),
    box(RIGHT_HALF, TOP, 6 * SLOT, BOTTOM - TOP, "home"),
  ];
  for (let point = 1; point <= POINTS; ++point) {
    const y = point <= 12 ? BOTTOM - SLOT_LENGTH : TOP;
    parts.push(box(slotX(point) - SLOT / 2 + 3, y, SLOT - 6, SLOT_LENGTH,
                   point % 2 === 0 ? "slot even" : "slot odd", 12));
    parts.push(label(slotX(point), point <= 12 ? HEIGHT - 9 : TOP - 9, "number middle", point));
  }
  return drawn("g", { "aria-hidden": "true" }, ...parts);
}

/** The eyes of a die about its middle. */
function eyes(count) {
  const at = count % 2 === 1 ? [[0, 0]] : [];
  for (const sign of [-1, 1]) {
    if (count >= 2) at.push([sign, -sign]);
    if (count >= 4) at.push([sign, sign]);
    if (count === 6) at.push([sign, 0]);
  }
  return at;
}

export function die(x, y, count, kind = "disc roller") {
  return [box(x - DIE / 2, y - DIE / 2, DIE, DIE, kind, 7),
          ...eyes(count).map(([column, row]) => circle(x + 9 * column, y + 9 * row, 3.2, "eye"))];
}

function dice(roll) {
  if (roll.length !== 2) return [];
  const x = RIGHT_HALF + 3 * SLOT;
  const [low, high] = [...roll].map(Number).sort();
  return [...die(x - 22, CENTRE, high), ...die(x + 22, CENTRE, low)];
}

function cube(it) {
  if (!it) return [];
  const y = { roller: BOTTOM - 56, opponent: TOP + 56, centred: CENTRE }[it.owner];
  return [box(14, y - 18, 36, 36, "cube", 5), label(32, y + 7, "cube-value middle", it.value)];
}

function pipTexts(position) {
  return SIDES.flatMap((side) => {
    const y = side === "roller" ? BOTTOM - 20 : TOP + 14;
    return [label(32, y, "number middle", pips(position[side])),
            label(32, y + 16, "small middle", "pips")];
  });
}

/** The part of the board that belongs to a place: more than its slot, for fingers. */
function areaOf(place) {
  const top = isTop(place) ? 0 : CENTRE;
  if (isPoint(place)) return [slotX(Number(place)) - SLOT / 2, top, SLOT, CENTRE];
  if (place.startsWith("bar")) return [BAR_X - BAR_WIDTH / 2, top, BAR_WIDTH, CENTRE];
  return [TRAY_X - 28, top, 58, CENTRE];
}

/** A point's slot or the tray, to be framed. */
function landingOf(place) {
  const [x, , width] = areaOf(place);
  return [x + 3, isTop(place) ? TOP : BOTTOM - SLOT_LENGTH, width - 6, SLOT_LENGTH];
}

/** What a play has changed at a place, for the marks. */
function marksAt(position, before, place, side) {
  if (!before || !side) return { arrived: 0, gone: 0 };
  const location = locationAt(place, side);
  const change = position[side][location] - before[side][location];
  return { arrived: Math.max(change, 0), gone: side === "roller" ? Math.max(-change, 0) : 0 };
}

export class BoardPicture {
  constructor(holder) {
    this.under = drawn("g", { "aria-hidden": "true" });
    this.above = drawn("g", { "aria-hidden": "true", class: "above" });
    this.places = new Map(PLACES.map((place) => [place, this.placeElement(place)]));
    this.svg = drawn("svg", { viewBox: `0 0 ${WIDTH} ${HEIGHT}`, class: "board",
                              role: "application", "aria-label": "Board, seen by the side on roll",
                              "aria-describedby": "keys-hint" },
                     field(), this.under, ...this.places.values(), this.above);
    holder.append(this.svg);
    this.focusOn("6", false);
  }

  placeElement(place) {
    return drawn("g", { class: "place", role: "button", tabindex: "-1", "data-place": place });
  }

  /** The place that Tab comes to. */
  focusOn(place, moves = true) {
    for (const [name, node] of this.places) node.setAttribute("tabindex", name === place ? 0 : -1);
    if (moves) this.places.get(place).focus();
  }

  /**
   * view: position, dice ("64" or ""), cube ({value, owner} or null), before (a position, what has
   * moved since is marked), held (a place), sources and targets (sets of places).
   */
  draw(view) {
    this.under.replaceChildren(...pipTexts(view.position), ...dice(view.dice), ...cube(view.cube));
    for (const [place, node] of this.places) {
      node.replaceChildren(...this.placeParts(place, view));
      node.setAttribute("aria-label", this.placeLabel(place, view));
      node.classList.toggle("has-checkers", countAt(view.position, place) > 0);
    }
  }

  placeParts(place, view) {
    const [x, y, width, height] = areaOf(place);
    const side = sideAt(view.position, place);
    const count = countAt(view.position, place);
    const parts = [box(x, y, width, height, "area")];
    if (view.targets.has(place)) parts.push(box(...landingOf(place), "landing", 12));
    if (place.startsWith("off")) {
      parts.push(...tray(side, count));
    } else {
      // Where the roller has left a point, the mark stands alone.
      const marks = marksAt(view.position, view.before, place, side ?? "roller");
      parts.push(...stack(place, side, count, marks));
      parts.push(...this.rings(place, count, view));
    }
    parts.push(box(x + 1.5, y + 1.5, width - 3, height - 3, "focus-frame", 8));
    return parts;
  }

  rings(place, count, view) {
    if (count === 0) return [];
    const { x, y, step } = stackAt(place);
    const at = y + step * (Math.min(count, MOST_DISCS) - 1);
    if (view.held === place) return [circle(x, at, RADIUS - 1, "arrived")];
    if (view.sources.has(place)) return [circle(x, at, RADIUS + 1, "movable")];
    return [];
  }

  placeLabel(place, view) {
    let words = placeWords(view.position, place);
    if (view.held === place) words += ", picked up";
    if (view.sources.has(place)) words += ", may move";
    if (view.targets.has(place)) words += ", may be moved to";
    return words;
  }

  /** A checker under the pointer while it is dragged; null takes it away. */
  drag(side, clientX, clientY) {
    if (!side) {
      this.above.replaceChildren();
      return;
    }
    const at = new DOMPoint(clientX, clientY).matrixTransform(this.svg.getScreenCTM().inverse());
    this.above.replaceChildren(...disc(at.x, at.y, side));
  }

  static placeOf(node) {
    return node?.closest?.("[data-place]")?.dataset.place ?? null;
  }
}
