// What the position is worth: at once after each change, and rolled out when asked to.
import { complaint } from "./position.js";
import { requestOf, fetched, keep } from "./store.js";
import { costText, doubleTable, playTable, shortAnswer, valueParts } from "./answers.js";
import { Latest, Work, told } from "./server.js";
import { announce, by, complain, keepingFocus, plusMinus } from "./parts.js";

const KEPT = "sixfold answer";
const MOST_REMEMBERED = 30;
const SETTINGS = ["half-width", "trials", "seed"];

export class Asking {
  constructor(store, table) {
    this.store = store;
    this.table = table;
    this.latest = new Latest(20);
    this.listeners = [];
    this.forget();
    const kept = fetched(KEPT) ?? {};
    this.remembered = new Map(kept.key ? [[kept.key, kept.answer]] : []);
    for (const id of SETTINGS) {
      if (kept[id]) by(id).value = kept[id];
      by(id).addEventListener("change", () => this.keep());
    }
    by("roll-out").addEventListener("click", () => this.rollOut());
    by("stop").addEventListener("click", () => this.guarded(() => this.work.stop()));
    by("go-on").addEventListener("click", () => this.goOn());
    this.waitForFingers();
    window.addEventListener("pagehide", () => this.keep());
    store.listen(() => this.boardChanged());
    this.boardChanged();
  }

  /** Nothing is drawn anew under a finger: what is pressed would be gone before it is let go. */
  waitForFingers() {
    this.pressed = false;
    by("answers").addEventListener("pointerdown", () => { this.pressed = true; });
    for (const end of ["pointerup", "pointercancel"]) {
      document.addEventListener(end, () => setTimeout(() => {
        const waits = this.pressed && this.late;
        this.pressed = this.late = false;
        if (waits) this.draw();
      }, 0));
    }
  }

  forget() {
    this.evaluation = this.double = this.rolled = null;
    this.chosen = new Set();
    this.shown = this.played = null;
    this.all = false;
    this.stopped = false;
  }

  /** Calls back when the board asks something else. */
  listen(does) { this.listeners.push(does); }

  keep() {
    const kept = Object.fromEntries(SETTINGS.map((id) => [id, by(id).value]));
    keep(KEPT, { ...kept, key: this.key, answer: this.remembered.get(this.key) });
  }

  settings() {
    return { half_width: Number(by("half-width").value), trials: Number(by("trials").value),
             seed: Number(by("seed").value) };
  }

  async guarded(does) {
    try {
      await does();
    } catch (error) {
      complain(by("answer-complaint"), error.message);
    }
  }

  // At once.

  boardChanged() {
    this.work?.leave();
    this.work = null;
    this.forget();
    this.request = requestOf(this.store.board);
    this.key = JSON.stringify(this.request);
    this.rolled = this.remembered.get(this.key) ?? null;
    by("progress").textContent = this.rolled ? "As it was rolled out before." : "";
    const words = complaint(this.store.board);
    complain(by("answer-complaint"), "");
    complain(by("warnings"), "");
    if (words) {
      this.latest.drop();
      this.problem = words;
      this.draw();
    } else {
      this.problem = "";
      this.latest.ask((signal) => this.askAtOnce(signal), (error) => this.refused(error));
    }
    for (const does of this.listeners) does();
  }

  async askAtOnce(signal) {
    const request = this.request;
    this.evaluation = await told("evaluate", request, signal);
    complain(by("warnings"), (this.evaluation.warnings ?? []).join(" "));
    this.table.answered(this.evaluation.plays ?? null, this.evaluation.cube);
    if (!request.dice && this.evaluation.cube !== "none") {
      this.double = await told("cube", request, signal);
    }
    this.draw();
  }

  refused(error) {
    this.problem = error.message;
    this.draw();
  }

  // Rolled out.

  rollOut() {
    const kind = this.request.dice ? "rollout" : "cube";
    const body = { kind, ...this.request, ...this.settings() };
    if (kind === "rollout") body.ledger = true;
    const plays = (this.evaluation?.plays ?? []).map(({ play }) => play)
      .filter((play) => this.chosen.has(play));
    if (kind === "rollout" && plays.length > 0) body.plays = plays;
    this.stopped = false;
    this.rolled = null;
    this.work?.leave();
    const work = new Work((event, data) => {
      if (this.work === work) this.heard(event, data);
    });
    this.work = work;
    this.begin(() => work.start(body));
  }

  goOn() {
    this.stopped = false;
    this.begin(() => this.work.goOn());
  }

  async begin(does) {
    complain(by("answer-complaint"), "");
    by("progress").textContent = "The first trials are being played.";
    this.starting = true;
    this.drawButtons();
    await this.guarded(does);
    this.starting = false;
    if (!this.work?.runs) by("progress").textContent = "";
    this.drawButtons();
  }

  heard(event, data) {
    if (event === "failed") {
      complain(by("answer-complaint"), data);
      by("progress").textContent = "";
    } else {
      this.tell(event, event === "done" ? { answer: data } : data);
    }
    this.draw();
  }

  tell(event, data) {
    const { answer } = data;
    if (answer?.plays?.length > 0 || answer?.rollout) {
      this.tellVerdicts(this.rolled, answer);
      this.rolled = answer;
      this.remember(answer);
    }
    this.stopped = event === "stopped";
    if (event === "progress") {
      by("progress").textContent = this.progressWords(data);
    } else {
      const words = this.stopped ? "Stopped." : `Done${this.time(answer)}.`;
      by("progress").textContent = words;
      announce(words);
      this.keep();
    }
  }

  /** For when undo comes back to it. */
  remember(answer) {
    this.remembered.delete(this.key);
    this.remembered.set(this.key, answer);
    const [oldest] = this.remembered.keys();
    if (this.remembered.size > MOST_REMEMBERED) this.remembered.delete(oldest);
  }

  /** How far it is: of the first trials, then of what the half-width asks for. */
  progressWords({ percent, half_width, trials }) {
    const share = `${Math.floor(percent ?? 0)}%`;
    const played = `${(trials ?? 0).toLocaleString("en")} trials`;
    if (!half_width) return `${share} of the first trials of all plays; ${played}.`;
    return `Known to ${plusMinus(half_width)}; ${share} done, ${played}.`;
  }

  time(answer) {
    return answer?.seconds >= 0.1 ? ` in ${answer.seconds.toFixed(1)} seconds` : "";
  }

  /** Says which plays have been settled since the last answer. */
  tellVerdicts(before, now) {
    if (!now.plays || !before?.plays) return;
    const was = new Map(before.plays.map(({ play, verdict }) => [play, verdict]));
    const settled = now.plays.filter(({ play, verdict }) =>
        verdict === "worse" && was.get(play) === "open");
    const words = settled.slice(0, 3).map(({ play, cost }) =>
        `${play} is worse, ${costText(cost)}`);
    if (words.length > 0) announce(words.join("; "));
  }

  // On the page.

  drawButtons() {
    const runs = Boolean(this.starting || this.work?.runs);
    const start = by("roll-out");
    start.textContent = this.request.dice
      ? (this.chosen.size > 0 ? `Roll out the ${this.chosen.size} chosen` : "Roll out")
      : "Roll out the double";
    start.hidden = runs;
    start.disabled = !this.evaluation || (!this.request.dice && !this.double);
    by("stop").hidden = !runs;
    by("go-on").hidden = runs || !this.stopped;
  }

  draw() {
    this.late = this.pressed;
    if (this.late) return;
    complain(by("answer-complaint"), this.problem || by("answer-complaint").textContent);
    const dice = this.request.dice;
    by("question").textContent = this.problem ? ""
      : dice ? `How is ${dice} played at ${this.request.score}?`
             : `What is it worth before the roll at ${this.request.score}? Is it a double?`;
    keepingFocus(by("answers"), () => by("answers").replaceChildren(...this.parts()));
    by("at-once").setAttribute("aria-live", this.work?.runs ? "off" : "polite");
    by("at-once").textContent = shortAnswer(this.answer);
    this.drawButtons();
  }

  /** Marks what was played in a recorded match. */
  mark(play) { this.played = play; }

  /** The best that is known; null where nothing is. */
  get answer() {
    if (this.problem) return null;
    return this.rolled ?? (this.request.dice ? this.evaluation : this.double ?? this.evaluation);
  }

  parts() {
    const { answer } = this;
    if (answer?.plays) return [playTable(answer, this.wishes())];
    if (answer?.action) return [doubleTable(answer)];
    return answer ? [valueParts(answer)] : [];
  }

  wishes() {
    return {
      chosen: this.chosen, shown: this.shown, all: this.all, played: this.played,
      choose: (play, is) => {
        if (is) this.chosen.add(play);
        else this.chosen.delete(play);
        this.drawButtons();
      },
      show: (play) => {
        this.shown = play;
        this.table.show(play);
        this.draw();
      },
      take: (play) => this.table.finish(play),
      showAll: () => {
        this.all = true;
        this.draw();
      },
    };
  }
}
