// Score by score: the same question at other scores, a row each.
import { complaint } from "./position.js";
import { fetched, keep, requestOf } from "./store.js";
import { scoreRow } from "./answers.js";
import { Latest, Work, told } from "./server.js";
import { by, element } from "./parts.js";

const KEPT = "sixfold scores";
const SCORES = ["money", "dmp", "gammon-go", "gammon-save", "3-away/5-away",
                       "5-away/3-away"];
const DEAD = ["dmp", "gammon-go", "gammon-save"];

/** The scores that are ticked, of boxes made by scoreBoxes. */
export const ticked = (holder) =>
  [...holder.querySelectorAll("input:checked")].map((box) => box.value);

export function scoreBoxes(holder, chosen, does) {
  const all = [...new Set([...SCORES, ...chosen])];
  const boxes = all.map((score) => element("label", {},
      element("input", { type: "checkbox", value: score, checked: chosen.includes(score),
                         on: { change: does } }), ` ${score}`));
  const more = element("input", { placeholder: "2-away/4-away", "aria-label":
                                  "another score", class: "short", on: { change: (event) => {
    const score = event.target.value.trim().toLowerCase();
    if (!score) return;
    scoreBoxes(holder, [...ticked(holder), score], does);
    does();
  } } });
  holder.replaceChildren(...boxes, more);
}

/** The request at another score: a cube that nobody may turn there is left out. */
function requestAt(board, score) {
  const request = requestOf({ ...board, score });
  const isDead = DEAD.includes(score) || / crawford$/.test(score);
  if (isDead && request.cube !== "none") delete request.cube;
  return request;
}

export class ScoreBook {
  constructor(store, asking) {
    this.store = store;
    this.asking = asking;
    this.latest = new Latest(60);
    this.answers = new Map();
    this.complaints = new Map();
    scoreBoxes(by("score-choice"), fetched(KEPT) ?? SCORES.slice(0, 5), () => {
      keep(KEPT, ticked(by("score-choice")));
      this.ask();
    });
    by("scores-part").addEventListener("toggle", () => this.ask());
    by("roll-scores").addEventListener("click", () => this.rollOut());
    by("stop-scores").addEventListener("click", () => this.stop());
    asking.listen(() => this.boardChanged());
  }

  boardChanged() {
    this.stop();
    this.ask();
  }

  ask() {
    this.answers.clear();
    this.complaints.clear();
    this.latest.drop();
    this.stop();
    if (!by("scores-part").open || complaint(this.store.board)) {
      by("score-answers").replaceChildren();
      return;
    }
    this.latest.ask((signal) => Promise.all(
        ticked(by("score-choice")).map((score) => this.askAt(score, signal))), () => {});
  }

  async askAt(score, signal) {
    try {
      const request = requestAt(this.store.board, score);
      let answer = await told("evaluate", request, signal);
      if (!request.dice && answer.cube !== "none") answer = await told("cube", request, signal);
      this.answers.set(score, answer);
    } catch (error) {
      if (error.name === "AbortError") throw error;
      this.complaints.set(score, error.message);
    }
    this.draw();
  }

  /** One after the other, so that other work has room beside it. */
  async rollOut() {
    const run = {};
    this.run = run;
    this.drawButtons();
    for (const score of ticked(by("score-choice"))) {
      if (this.run !== run || this.complaints.has(score)) continue;
      await this.rollOutAt(score, run);
    }
    if (this.run === run) this.stop();
  }

  rollOutAt(score, run) {
    const request = requestAt(this.store.board, score);
    const isValue = !request.dice && this.answers.get(score)?.action === undefined;
    if (isValue) return Promise.resolve();
    const kind = request.dice ? "rollout" : "cube";
    return new Promise((resolve) => {
      const work = new Work((event, data) => {
        if (this.run !== run) return;
        if (event === "failed") this.complaints.set(score, data);
        else this.took(score, event === "done" ? data : data.answer);
        this.draw();
        if (event !== "progress") resolve();
      });
      run.work = work;
      run.end = resolve;
      work.start({ kind, ...request, ...this.asking.settings() }).catch((error) => {
        this.complaints.set(score, error.message);
        this.draw();
        resolve();
      });
    });
  }

  took(score, answer) {
    if (answer?.plays?.length > 0 || answer?.rollout) this.answers.set(score, answer);
  }

  stop() {
    const run = this.run;
    this.run = null;
    run?.work?.leave();
    run?.end?.();
    this.drawButtons();
  }

  drawButtons() {
    by("roll-scores").hidden = Boolean(this.run);
    by("stop-scores").hidden = !this.run;
  }

  draw() {
    const names = this.store.board.dice.length === 2 ? ["Best play", "Next, and its cost"]
                                                     : ["Action", "What others cost"];
    const heads = ["Score", ...names, "Verdict"].map((words) =>
        element("th", { scope: "col" }, words));
    const rows = ticked(by("score-choice")).map((score) =>
        scoreRow(score, this.answers.get(score), this.complaints.get(score)));
    by("score-answers").replaceChildren(element("table", { class: "scores-table" },
        element("thead", {}, element("tr", {}, ...heads)), element("tbody", {}, ...rows)));
  }
}
