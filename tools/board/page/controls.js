// What stands around the board: texts, roll, score, cube, and the buttons of setting up.
import { clearedPosition, hasStart, keyOf, onBoard, pips, positionText, readPosition,
         startPosition, SIDES } from "./position.js";
import { clearedBoard, requestOf, turnedBoard } from "./store.js";
import { die } from "./board_svg.js";
import { Latest, told, toldText } from "./server.js";
import { announce, button, by, complain, download, drawn, element } from "./parts.js";

const LINE = /^\d[-,]?\d: *[\w/*() ]+(, *\d[-,]?\d: *[\w/*() ]+)*$/i;
// These have an undo of their own.
const TYPED = "input:not([type=radio], [type=checkbox]), textarea";
const NAMED = ["money", "dmp", "gammon-go", "gammon-save"];

export class Controls {
  constructor(store, table) {
    this.store = store;
    this.table = table;
    this.lines = new Latest(250);
    this.first = "";  // the die that is chosen of a roll that is not whole
    this.listenToButtons();
    this.listenToDice();
    this.listenToScore();
    this.listenToTexts();
    store.listen(() => this.draw());
    this.draw();
  }

  // Buttons and keys.

  listenToButtons() {
    const does = {
      undo: () => this.undo(),
      redo: () => this.store.redo(),
      start: () => this.begin(),
      clear: () => this.store.change(clearedBoard(this.store.board), "The board is cleared."),
      turn: () => this.store.change(turnedBoard(this.store.board),
                                    "The other side is on roll; the board is turned."),
      "save-picture": () => this.savePicture(),
    };
    for (const [id, act] of Object.entries(does)) by(id).addEventListener("click", act);
    by("checkers").addEventListener("change", () => this.setCheckers());
    document.addEventListener("keydown", (event) => this.key(event));
  }

  undo() {
    if (!this.table.undoStep()) this.store.undo();
  }

  begin() {
    const { checkers } = this.store.board;
    if (!hasStart(checkers)) {
      complain(by("complaint"), `With ${checkers} checkers a side no game begins: ` +
                                "both sides would share points.");
      return;
    }
    this.store.change({ ...startPosition(checkers), dice: "", line: "" }, "The start of a game.");
  }

  setCheckers() {
    const checkers = Math.min(Math.max(Math.round(Number(by("checkers").value)) || 15, 1), 15);
    by("checkers").value = checkers;
    const places = hasStart(checkers) ? startPosition(checkers) : clearedPosition(checkers);
    this.store.change({ ...places, checkers, dice: "", line: "" }, `${checkers} checkers a side.`);
  }

  key(event) {
    if (!(event.ctrlKey || event.metaKey) || event.target.matches(TYPED)) return;
    const key = event.key.toLowerCase();
    if (key === "z" && !event.shiftKey) this.undo();
    else if (key === "y" || (key === "z" && event.shiftKey)) this.store.redo();
    else return;
    event.preventDefault();
  }

  async savePicture() {
    try {
      const picture = await toldText("diagram", requestOf(this.store.board));
      download("board.svg", "image/svg+xml", picture);
    } catch (error) {
      complain(by("complaint"), error.message);
    }
  }

  // The roll: two taps, one for each die.

  listenToDice() {
    for (let eyes = 1; eyes <= 6; ++eyes) {
      const picture = drawn("svg", { viewBox: "-20 -20 40 40", "aria-hidden": "true" },
                            ...die(0, 0, eyes));
      const one = button("", () => this.chooseDie(String(eyes)),
                         { class: "die", "aria-label": `die ${eyes}`, "data-eyes": eyes });
      one.append(picture);
      by("dice").append(one);
    }
    by("throw").addEventListener("click", () => this.throwDice());
    by("no-dice").addEventListener("click", () => {
      this.first = "";
      this.store.change({ dice: "" }, "No roll.");
      this.drawDice();
    });
  }

  chooseDie(eyes) {
    if (this.first === "") {
      this.first = eyes;
      announce(`${eyes}, and the other die?`);
      this.drawDice();
      return;
    }
    this.setDice(this.first + eyes);
  }

  throwDice() {
    const [one, two] = crypto.getRandomValues(new Uint32Array(2));
    this.setDice(`${one % 6 + 1}${two % 6 + 1}`);
  }

  setDice(dice) {
    const roll = [...dice].sort().reverse().join("");
    this.first = "";
    this.store.change({ dice: roll }, `Roll ${roll}.`);
    this.drawDice();
  }

  drawDice() {
    const { dice } = this.store.board;
    by("roll-words").textContent = this.first ? `${this.first} and …` : dice || "none";
    for (const one of by("dice").children) {
      const is = (this.first || dice).includes(one.dataset.eyes);
      one.setAttribute("aria-pressed", String(is));
    }
  }

  // Score and cube.

  listenToScore() {
    const score = () => this.store.change({ score: this.chosenScore() });
    for (const id of ["score", "roller-away", "opponent-away", "crawford"]) {
      by(id).addEventListener("change", score);
    }
    by("cube").addEventListener("change", () => this.store.change({ cube: by("cube").value }));
    by("cube-value").addEventListener("change", () =>
        this.store.change({ cubeValue: Number(by("cube-value").value) }));
    for (const id of ["jacoby", "beavers"]) {
      by(id).addEventListener("change", () => this.store.change({ [id]: by(id).checked }));
    }
  }

  chosenScore() {
    if (by("score").value !== "match") return by("score").value;
    const [roller, opponent] = ["roller-away", "opponent-away"].map((id) =>
        Math.max(Math.round(Number(by(id).value)) || 1, 1));
    const oneNeedsOne = (roller === 1) !== (opponent === 1);
    return `${roller}-away/${opponent}-away${oneNeedsOne ? by("crawford").value : ""}`;
  }

  drawScore() {
    const { score, cube, cubeValue, jacoby, beavers } = this.store.board;
    const match = /^(\d+)-away\/(\d+)-away( crawford| post-crawford)?$/.exec(score);
    by("score").value = NAMED.includes(score) ? score : "match";
    if (match) {
      by("roller-away").value = match[1];
      by("opponent-away").value = match[2];
      if (match[3]) by("crawford").value = match[3];
      by("crawford-choice").hidden = !match[3];
    }
    by("match-score").hidden = !match;
    by("money-rules").hidden = score !== "money";
    by("cube").value = cube;
    by("cube-value").value = String(cubeValue);
    by("cube-value-choice").hidden = cube !== "roller" && cube !== "opponent";
    by("jacoby").checked = jacoby;
    by("beavers").checked = beavers;
  }

  // Texts, which are read as they are typed.

  listenToTexts() {
    const text = by("position-text");
    text.addEventListener("input", () => this.readText());
    text.addEventListener("blur", () => {
      complain(by("text-complaint"), "");
      this.drawTexts();
    });
    by("line").addEventListener("input", () => this.readLine());
    by("line").addEventListener("blur", () => {
      if (by("line-complaint").hidden) this.drawTexts();
    });
  }

  readText() {
    const { board } = this.store;
    try {
      const position = readPosition(by("position-text").value, board.checkers);
      complain(by("text-complaint"), "");
      if (keyOf(position) !== keyOf(board)) this.store.place(position, "");
    } catch (error) {
      complain(by("text-complaint"), error.message);
    }
  }

  readLine() {
    const line = by("line").value.trim();
    complain(by("line-complaint"), "");
    // What is still being typed is no question yet.
    if (!LINE.test(line) || line === this.store.board.line) return;
    const { checkers } = this.store.board;
    this.lines.ask(async (signal) => {
      const { position } = await told("look", { after: line, checkers }, signal);
      this.store.change({ ...readPosition(position, checkers), dice: "", line },
                        "The board after these plays.");
    }, (error) => complain(by("line-complaint"), error.message));
  }

  drawTexts() {
    const { board } = this.store;
    const texts = { "position-text": positionText(board), line: board.line };
    for (const [id, text] of Object.entries(texts)) {
      if (document.activeElement !== by(id)) by(id).value = text;
    }
  }

  draw() {
    const { board, past, future } = this.store;
    by("undo").disabled = past.length === 0;
    by("redo").disabled = future.length === 0;
    by("checkers").value = board.checkers;
    by("counts").replaceChildren(...SIDES.flatMap((side) =>
        [element("span", { class: "unbroken" }, `${side} ${onBoard(board[side])} checkers, ` +
                                                `${pips(board[side])} pips`), " "]));
    this.drawDice();
    this.drawScore();
    this.drawTexts();
  }
}
