// What is on the board and what is asked about it, with undo, kept over a reload of the page.
import { clearedPosition, exchanged, exchangedScore, keyOf, positionText, startPosition }
  from "./position.js";

const KEPT = "sixfold board";
const MOST_UNDONE = 200;

export function firstBoard() {
  return {
    ...startPosition(15), checkers: 15, dice: "", score: "money",
    cube: "usual", cubeValue: 2, jacoby: false, beavers: false,
    line: "",  // The plays that led here from the start; "" where that is not known.
  };
}

/** The same board with the other side on roll. */
export function turnedBoard(board) {
  const owners = { roller: "opponent", opponent: "roller" };
  return {
    ...board, ...exchanged(board), score: exchangedScore(board.score),
    cube: owners[board.cube] ?? board.cube, dice: "", line: "",
  };
}

export function clearedBoard(board) {
  return { ...board, ...clearedPosition(board.checkers), dice: "", line: "" };
}

/** The fields of a request, as the server's contract has them. */
export function requestOf(board) {
  const request = { position: positionText(board), score: board.score };
  if (board.checkers !== 15) request.checkers = board.checkers;
  if (board.dice.length === 2) request.dice = board.dice;
  if (board.cube === "none") request.cube = "none";
  if (board.cube === "roller" || board.cube === "opponent") {
    request.cube = `${board.cube}:${board.cubeValue}`;
  }
  if (board.score === "money" && board.jacoby) request.jacoby = true;
  if (board.score === "money" && board.beavers) request.beavers = true;
  return request;
}

export class Store {
  constructor() {
    this.listeners = [];
    this.past = [];
    this.future = [];
    this.board = firstBoard();
    this.restore();
  }

  /** Calls back after each change, with what it is called. */
  listen(does) { this.listeners.push(does); }

  /** Whether a game begins here, so that plays from here are plays from the start. */
  get isStart() {
    const { checkers } = this.board;
    return checkers === 15 && keyOf(this.board) === keyOf(startPosition(checkers));
  }

  /** Changes fields of the board; a change that changes nothing is none. */
  change(fields, words = "") {
    const next = { ...this.board, ...fields };
    if (JSON.stringify(next) === JSON.stringify(this.board)) return;
    this.past.push(this.board);
    if (this.past.length > MOST_UNDONE) this.past.shift();
    this.future = [];
    this.settle(next, words);
  }

  /** New places of checkers; the plays that led to the old ones say nothing about them. */
  place(position, words) {
    const same = keyOf(position) === keyOf(this.board);
    this.change({ roller: position.roller, opponent: position.opponent,
                  line: same ? this.board.line : "" }, words);
  }

  undo() {
    if (this.past.length === 0) return;
    this.future.push(this.board);
    this.settle(this.past.pop(), "Undone.");
  }

  redo() {
    if (this.future.length === 0) return;
    this.past.push(this.board);
    this.settle(this.future.pop(), "Done again.");
  }

  settle(board, words) {
    this.board = board;
    keep(KEPT, { board: this.board, past: this.past, future: this.future });
    for (const does of this.listeners) does(words);
  }

  restore() {
    const kept = fetched(KEPT);
    if (!kept) return;
    this.board = { ...this.board, ...kept.board };
    this.past = kept.past ?? [];
    this.future = kept.future ?? [];
  }
}

/** Kept as long as the tab is there; where nothing can be kept the page works without. */
export function keep(name, value) {
  try {
    sessionStorage.setItem(name, JSON.stringify(value));
  } catch { /* Full or forbidden. */ }
}

export function fetched(name) {
  try {
    return JSON.parse(sessionStorage.getItem(name));
  } catch {
    return null;
  }
}
