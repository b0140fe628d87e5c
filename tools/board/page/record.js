// A recorded match, stepped through turn by turn: what decisions cost and how lucky rolls were.
import { readPosition } from "./position.js";
import { fetched, firstBoard, keep } from "./store.js";
import { asked, sent } from "./server.js";
import { by, complain, element, plain, plusMinus, signed, smallButton } from "./parts.js";

const KEPT = "sixfold match";
const DEAREST = 10;  // as many as the report of the command line names

/** All turns of all games in order, the dearest marked. */
function turnsOf(match) {
  const turns = match.games.flatMap((game) =>
      game.turns.map((turn) => ({ ...turn, game: game.game })));
  const dearest = turns.filter(({ cost }) => cost > 0).sort((a, b) => a.moves - b.moves);
  for (const turn of dearest.slice(0, DEAREST)) turn.isDear = true;
  return turns;
}

export class Record {
  constructor(store, asking) {
    this.store = store;
    this.asking = asking;
    this.turns = [];
    this.at = 0;
    by("open-record").addEventListener("change", () => this.open());
    by("given-record").addEventListener("click", () => this.guarded(() => asked("match")));
    by("turn-back").addEventListener("click", () => this.go(this.at - 1));
    by("turn-on").addEventListener("click", () => this.go(this.at + 1));
    by("dear-back").addEventListener("click", () => this.goDear(-1));
    by("dear-on").addEventListener("click", () => this.goDear(1));
    const kept = fetched(KEPT);
    if (kept) {
      this.take(kept.match);
      this.draw(kept.at);
    }
  }

  offerGiven() { by("given-record").hidden = false; }

  async open() {
    const [file] = by("open-record").files;
    by("open-record").value = "";
    if (file) await this.guarded(() => sent("match", file));
  }

  async guarded(gets) {
    complain(by("record-complaint"), "");
    try {
      this.take(await gets());
      this.show(0);
    } catch (error) {
      complain(by("record-complaint"), error.message);
    }
  }

  take(match) {
    this.match = match;
    this.turns = turnsOf(match);
    complain(by("record-complaint"), (match.complaints ?? []).join(" "));
    by("record-parts").hidden = by("record-steps").hidden = this.turns.length === 0;
    by("record-totals").replaceChildren(this.totals());
  }

  totals() {
    const heads = ["Player", "Decisions", "Cost of plays", "Of the cube", "Luck"].map((words) =>
        element("th", { scope: "col" }, words));
    const rows = this.match.totals.map((total, player) => element("tr", {},
        element("th", { scope: "row" }, this.match.players[player]),
        element("td", {}, total.decisions), element("td", {}, plain(total.cost_plays)),
        element("td", {}, plain(total.cost_cube)), element("td", {}, signed(total.luck))));
    const length = this.match.length > 0 ? `A match to ${this.match.length}` : "Money games";
    return element("table", {},
                   element("caption", {}, `${length}, judged by the net’s own values`),
                   element("thead", {}, element("tr", {}, ...heads)),
                   element("tbody", {}, ...rows));
  }

  go(at) {
    if (at < 0 || at >= this.turns.length) return;
    const turn = this.turns[at];
    this.store.change(this.boardOf(turn), "");
    this.asking.mark(turn.dice ? turn.played : null);
    this.draw(at);
    keep(KEPT, { match: this.match, at });
  }

  /** Goes to a turn from far down the page. */
  show(at) {
    this.go(at);
    by("position").scrollIntoView({ block: "start" });
  }

  draw(at) {
    this.at = at;
    const turn = this.turns[at];
    by("turn-words").textContent = this.words(turn);
    by("turn-more").replaceChildren(...this.numbers(turn));
    this.drawButtons();
    this.drawTurns();
  }

  goDear(step) {
    for (let at = this.at + step; at >= 0 && at < this.turns.length; at += step) {
      if (this.turns[at].isDear) {
        this.go(at);
        return;
      }
    }
  }

  boardOf(turn) {
    const owner = turn.cube === "none" ? "none" : turn.cube.owner;
    return { ...firstBoard(), ...readPosition(turn.position, 15), dice: turn.dice ?? "",
             score: turn.score, cube: owner === "centred" ? "usual" : owner,
             cubeValue: owner === "none" ? 2 : turn.cube.value, jacoby: Boolean(turn.jacoby) };
  }

  words(turn) {
    const who = this.match.players[turn.player];
    const what = turn.dice ? `${turn.dice}: ${turn.played}` : turn.played;
    return `${who}: ${what}`;
  }

  numbers(turn) {
    const parts = [turn.cost > 0 ? `Best was ${turn.best}; it cost ${this.cost(turn)}. `
                   : turn.forced ? "The only play. " : "Nothing is better. "];
    if (turn.luck !== undefined) parts.push(`Luck of the roll ${signed(turn.luck)}.`);
    if (turn.isDear) parts.unshift(element("mark", { class: "is-open" }, "Dear. "));
    return [`Game ${turn.game}, turn ${turn.turn}, at ${turn.score}. `, ...parts];
  }

  cost(turn) {
    const interval = turn.cost_half_width ? ` ${plusMinus(turn.cost_half_width)}` : "";
    return plain(turn.cost) + interval;
  }

  drawButtons() {
    const dear = this.turns.map(({ isDear }) => Boolean(isDear));
    by("turn-back").disabled = this.at === 0;
    by("turn-on").disabled = this.at === this.turns.length - 1;
    by("dear-back").disabled = !dear.slice(0, this.at).includes(true);
    by("dear-on").disabled = !dear.slice(this.at + 1).includes(true);
  }

  drawTurns() {
    const heads = ["Turn", "Player", "Played", "Cost", "Luck"].map((words) =>
        element("th", { scope: "col" }, words));
    const rows = this.turns.map((turn, i) => element("tr",
        { class: turn.isDear ? "dear" : "", "aria-current": i === this.at ? "true" : undefined },
        element("th", { scope: "row" },
                smallButton(`${turn.game}.${turn.turn}`, () => this.show(i))),
        element("td", {}, this.match.players[turn.player]),
        element("td", {}, `${turn.dice ? `${turn.dice}: ` : ""}${turn.played}`),
        element("td", {}, turn.cost > 0 ? `${plain(turn.cost)}${turn.isDear ? " dear" : ""}` : ""),
        element("td", {}, turn.luck === undefined ? "" : signed(turn.luck))));
    by("record-turns").replaceChildren(element("table", { class: "turns-table" },
        element("thead", {}, element("tr", {}, ...heads)), element("tbody", {}, ...rows)));
  }
}
