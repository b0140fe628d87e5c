// The board on the page: what a tap, a drag or a key does to it, by the tool that is chosen.
import { exchanged, keyOf, readPosition } from "./position.js";
import { BoardPicture, countAt, isPoint, locationAt, placeWords, sideAt } from "./board_svg.js";
import { addedChecker, countedCheckers, movedChecker, takenChecker } from "./editing.js";
import { listen } from "./pointing.js";
import { Playing } from "./playing.js";
import { turnedBoard } from "./store.js";
import { announce, by, complain } from "./parts.js";

const TIPS = {
  move: "Tap a checker, then where it goes; or drag it. The tray on the right holds what is off.",
  "add roller": "Each tap adds one checker of the roller; dragging moves checkers.",
  "add opponent": "Each tap adds one checker of the opponent; dragging moves checkers.",
  take: "Each tap takes one checker away; dragging moves checkers.",
};

export class Table {
  constructor(store) {
    this.store = store;
    this.picture = new BoardPicture(by("board"));
    this.tool = "move";
    this.held = null;
    this.playing = null;
    this.plays = null;     // of the roll, as the server tells them
    this.shown = null;     // a play that is only looked at
    this.cube = undefined; // as the answer has it; undefined: not known yet
    listen(this.picture, {
      tap: (place) => this.tap(place),
      dragged: (place) => this.dragged(place),
      dropped: (from, to) => this.dropped(from, to),
      key: (place, key) => this.key(place, key),
    });
    for (const choice of document.getElementsByName("tool")) {
      choice.checked = choice.value === this.tool;
      choice.addEventListener("change", () => this.choose(choice.value));
    }
    store.listen((words) => this.boardChanged(words));
    this.draw();
  }

  boardChanged(words) {
    this.held = this.playing = this.plays = this.shown = null;
    this.cube = undefined;
    this.complain("");
    if (words) announce(words);
    this.draw();
  }

  /** What the server says of this board: the plays of the roll, and whose the cube is. */
  answered(plays, cube) {
    this.plays = plays;
    this.cube = cube;
    if (this.tool === "play") this.begin();
    this.draw();
  }

  choose(tool) {
    this.tool = tool;
    for (const choice of document.getElementsByName("tool")) choice.checked = choice.value === tool;
    this.held = this.playing = this.shown = null;
    this.complain("");
    if (tool === "play") this.begin();
    this.draw();
  }

  begin() {
    const { dice, checkers } = this.store.board;
    this.playing = dice.length === 2 && this.plays
      ? new Playing(this.store.board, dice, this.plays, checkers) : null;
  }

  complain(words) { complain(by("complaint"), words); }

  get position() { return this.playing?.now.position ?? this.store.board; }

  // What is meant by a finger or a key.

  tap(place) {
    if (this.tool === "play") return this.playAt(place);
    if (this.tool === "take") return this.edit(takenChecker(this.position, place));
    if (this.tool !== "move") {
      return this.edit(addedChecker(this.position, place, this.tool.slice("add ".length)));
    }
    return this.pickOrSet(place);
  }

  pickOrSet(place) {
    const held = this.held;
    this.held = null;
    if (held && held !== place) return this.edit(movedChecker(this.position, held, place));
    if (!held && countAt(this.position, place) > 0) this.pickUp(place);
    const isVain = !held && !this.held;
    this.complain(isVain ? `${placeWords(this.position, place)}: nothing to move.` : "");
    return this.draw();
  }

  pickUp(place) {
    this.held = place;
    this.shown = null;
    announce(`${placeWords(this.position, place)}, picked up`);
  }

  dragged(place) {
    if (countAt(this.position, place) === 0) return null;
    if (this.tool === "play" && !this.sources().has(place)) return null;
    this.held = place;
    this.draw();
    return sideAt(this.position, place);
  }

  dropped(from, to) {
    this.held = null;
    if (!to || to === from) this.draw();
    else if (this.tool === "play") this.move(from, to);
    else this.edit(movedChecker(this.position, from, to));
  }

  key(place, key) {
    if (key === "escape") {
      this.held = null;
      this.draw();
    } else if (key === "m") {
      if (this.tool === "play") this.playAt(place);
      else this.pickOrSet(place);
    } else if (this.tool === "play") {
      return false;
    } else if (key === "+" || key === "=") {
      this.edit(addedChecker(this.position, place, sideAt(this.position, place) ?? "roller"));
    } else if (key === "r" || key === "o") {
      this.edit(addedChecker(this.position, place, key === "r" ? "roller" : "opponent"));
    } else if (key === "-" || key === "\u2212") {
      this.edit(takenChecker(this.position, place));
    } else if (/^\d$/.test(key)) {
      this.edit(countedCheckers(this.position, place, Number(key)));
    } else {
      return false;
    }
    return true;
  }

  edit({ position, words, complaint }) {
    if (complaint) {
      this.complain(complaint);
      this.draw();
      return;
    }
    this.complain("");
    if (keyOf(position) === keyOf(this.store.board)) this.draw();
    else this.store.place(position, words);
  }

  // Playing the roll.

  sources() {
    if (!this.playing) return new Set();
    return new Set(this.playing.steps.map(({ from }) => from === 25 ? "bar roller" : String(from)));
  }

  targets() {
    if (!this.playing || !this.held) return new Set();
    const ways = this.playing.waysFrom(locationAt(this.held, "roller"));
    return new Set([...ways.keys()].map((to) => to === 0 ? "off roller" : String(to)));
  }

  playAt(place) {
    if (!this.playing) {
      this.complain("There is no roll to play: choose one below.");
      return;
    }
    if (this.playing.play !== undefined) {  // "no play"
      this.finish(this.playing.play);
    } else if (this.held && this.held !== place) {
      const held = this.held;
      this.held = null;
      this.move(held, place);
    } else if (this.held) {
      this.held = null;
      this.draw();
    } else if (this.sources().has(place)) {
      this.complain("");
      this.pickUp(place);
      this.draw();
    } else {
      this.complain("No legal play moves a checker from there.");
    }
  }

  move(from, to) {
    const target = isPoint(to) ? Number(to) : locationAt(`${to.split(" ")[0]} roller`, "roller");
    if (!this.playing.move(locationAt(from, "roller"), target)) {
      this.complain("No legal play of this roll does that.");
      this.draw();
    } else if (this.playing.play !== undefined) {
      this.finish(this.playing.play);
    } else {
      this.complain("");
      announce(`${placeWords(this.position, to)}; ${this.playing.now.dice.join(" and ")} left`);
      this.draw();
    }
  }

  /** A whole play of the roll: the other side is on roll then. */
  finish(name) {
    const { board } = this.store;
    const known = this.plays?.find(({ play }) => play === name);
    if (!known) return;
    const { result } = known;
    const after = { ...board, ...exchanged(readPosition(result, board.checkers)) };
    const line = this.lineWith(name);
    this.store.change({ ...turnedBoard(after), line },
                      `${name} played. The other side is on roll; the board is turned.`);
  }

  lineWith(name) {
    const { line, dice } = this.store.board;
    if (line === "" && !this.store.isStart) return "";
    return `${line}${line ? ", " : ""}${dice}: ${name}`;
  }

  /** Takes one step of a play back; false where there is none. */
  undoStep() {
    if (!this.playing || this.playing.states.length === 1) return false;
    this.playing.back();
    this.held = null;
    announce("One checker back.");
    this.draw();
    return true;
  }

  /** Shows what the board looks like after a play; null shows the board itself. */
  show(name) {
    this.shown = name === null ? null : this.plays?.find(({ play }) => play === name) ?? null;
    this.draw();
  }

  draw() {
    const { board } = this.store;
    const view = { position: this.position, dice: board.dice, cube: this.drawnCube(),
                   before: this.playing ? board : null, held: this.held,
                   sources: this.held ? new Set() : this.sources(), targets: this.targets() };
    if (this.shown) {
      view.position = exchanged(readPosition(this.shown.result, board.checkers));
      view.before = board;
      view.sources = new Set();
    }
    this.picture.draw(view);
    by("tip").textContent = this.tip();
  }

  drawnCube() {
    const { cube, cubeValue } = this.store.board;
    if (cube === "none" || this.cube === "none") return null;
    if (cube === "usual") return { owner: "centred", value: 1 };
    return { owner: cube, value: cubeValue };
  }

  tip() {
    if (this.shown) return `The board after ${this.shown.play}; what moved is marked.`;
    if (this.tool !== "play") return TIPS[this.tool];
    if (this.store.board.dice.length !== 2) return "Choose the roll that is to be played.";
    if (!this.playing) return "The plays of this roll are not known yet.";
    if (this.playing.play !== undefined) {
      return `${this.store.board.dice}: no play. A tap on the board passes the dice on.`;
    }
    return `Dice left: ${this.playing.now.dice.join(", ")}. Checkers that may move are ringed.`;
  }
}
