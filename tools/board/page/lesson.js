// A lesson that is being collected: rolls of one position, scores, the teacher's words; its file
// and its sheet.
import { readPosition } from "./position.js";
import { fetched, firstBoard, keep, requestOf } from "./store.js";
import { scoreBoxes, ticked } from "./scores.js";
import { told } from "./server.js";
import { Sheet } from "./sheet.js";
import { announce, smallButton, by, complain, download, element } from "./parts.js";

const KEPT = "sixfold lesson";
const ASKED = ["position", "checkers", "cube", "jacoby", "beavers"];
const EMPTY = { title: "", notes: "", rolls: [], scores: ["money"], flip: [], double: false };

export class Lesson {
  constructor(store, asking) {
    this.store = store;
    this.asking = asking;
    this.it = { ...EMPTY, ...fetched(KEPT) };
    this.sheet = new Sheet(by("lesson-sheet"), "Make the sheet", () => this.file());
    this.single = new Sheet(by("question-sheet"), "Sheet of this question", () =>
        this.question());
    this.listenToFields();
    this.listenToButtons();
    asking.listen(() => {
      this.single.clear();
      this.drawAdd();
    });
    this.draw();
  }

  listenToFields() {
    const fields = { "lesson-name": "title", "lesson-notes": "notes" };
    for (const [id, name] of Object.entries(fields)) {
      by(id).addEventListener("input", () => this.change({ [name]: by(id).value }, false));
    }
    by("lesson-double").addEventListener("change", () =>
        this.change({ double: by("lesson-double").checked }));
  }

  listenToButtons() {
    const does = {
      "add-to-lesson": () => this.add(),
      "save-lesson": () => this.save(),
      "new-lesson": () => this.renew(),
    };
    for (const [id, act] of Object.entries(does)) by(id).addEventListener("click", act);
    by("open-lesson").addEventListener("change", () => this.open());
  }

  change(fields, draws = true) {
    this.it = { ...this.it, ...fields };
    keep(KEPT, this.it);
    if (draws) this.draw();
  }

  renew() {
    this.sheet.clear();
    this.it = EMPTY;
    complain(by("lesson-complaint"), "");
    this.change({});
  }

  // What is collected.

  add() {
    const request = requestOf(this.store.board);
    const isEmpty = this.it.rolls.length === 0 && !this.it.double;
    if (!isEmpty && this.it.position !== request.position) {
      complain(by("lesson-complaint"),
               "This lesson is about another position: save it and begin a new lesson.");
      by("lesson-complaint").scrollIntoView({ block: "center" });
      return;
    }
    complain(by("lesson-complaint"), "");
    const asked = Object.fromEntries(ASKED.map((name) => [name, request[name]]));
    const scores = isEmpty ? [request.score] : [...new Set([...this.it.scores, request.score])];
    this.change({ ...asked, scores, ...this.rollOrDouble(request.dice) });
    announce(request.dice ? `${request.dice} is in the lesson.` : "The double is in the lesson.");
  }

  rollOrDouble(dice) {
    if (!dice) return { double: true };
    const plays = [...this.asking.chosen];
    const known = this.it.rolls.find((roll) => roll.dice === dice);
    const compared = plays.length > 0 ? plays : known?.plays ?? [];
    const roll = { notes: "", ...known, dice, plays: compared };
    return { rolls: [...this.it.rolls.filter((one) => one !== known), roll] };
  }

  /** The lesson file, or an Error in words. */
  file() {
    const { title, notes, rolls, scores, flip, double } = this.it;
    if (rolls.length === 0 && !double) {
      throw new Error("The lesson is empty: choose a roll above and add it.");
    }
    const asked = Object.fromEntries(ASKED.filter((name) => this.it[name] !== undefined)
      .map((name) => [name, this.it[name]]));
    const told = rolls.map(({ dice, plays, notes: words }) => ({
      dice, ...(plays.length > 0 && { plays }), ...(words && { notes: words }) }));
    return { ...(title && { title }), ...(notes && { notes }), ...asked, rolls: told, scores,
             ...(double && { double }), ...(flip.length > 0 && { flip }),
             ...this.asking.settings() };
  }

  /** A lesson of what is asked just now, at all scores that are ticked where they are looked at. */
  question() {
    const { score, dice, ...request } = requestOf(this.store.board);
    const scores = by("scores-part").open ? ticked(by("score-choice")) : [score];
    const plays = [...this.asking.chosen];
    const roll = { dice, ...(plays.length > 0 && { plays }) };
    const title = dice ? `How is ${dice} played?` : "Is it a double?";
    return { title, ...request, scores, ...(dice ? { rolls: [roll] } : { double: true }),
             ...(dice && by("question-plane").checked && { flip: [dice] }),
             ...this.asking.settings() };
  }

  save() {
    complain(by("lesson-complaint"), "");
    try {
      download("lesson.json", "application/json", `${JSON.stringify(this.file(), null, 2)}\n`);
    } catch (error) {
      complain(by("lesson-complaint"), error.message);
    }
  }

  async open() {
    const [file] = by("open-lesson").files;
    by("open-lesson").value = "";
    if (!file) return;
    complain(by("lesson-complaint"), "");
    try {
      await this.take(JSON.parse(await file.text()));
    } catch (error) {
      complain(by("lesson-complaint"), `${file.name}: ${error.message}`);
    }
  }

  async take(file) {
    const { position, checkers } = await this.placed(file);
    const rolls = (file.rolls ?? []).map((roll) => typeof roll === "string"
      ? { dice: roll, plays: [], notes: "" } : { plays: [], notes: "", ...roll });
    const { title = "", notes = "", scores = ["money"], flip = [], double = false } = file;
    const asked = { ...Object.fromEntries(ASKED.map((name) => [name, file[name]])), position };
    this.store.change({ ...firstBoard(), ...readPosition(position, checkers), checkers,
                        dice: rolls[0]?.dice ?? "" }, "The lesson's position.");
    this.change({ ...asked, title, notes, rolls, scores, flip, double });
  }

  /** A lesson's position, whichever way its file tells it. */
  async placed(file) {
    const names = ["position", "after", "checkers", "both_from_roller"];
    const given = names.filter((name) => file[name] !== undefined);
    const { position } = await told("look", Object.fromEntries(
        given.map((name) => [name, file[name]])));
    return { position, checkers: file.checkers ?? 15 };
  }

  // On the page.

  drawAdd() {
    const { dice } = this.store.board;
    by("add-to-lesson").textContent = dice ? `Add ${dice} to the lesson`
                                           : "Add the double to the lesson";
    by("add-to-lesson").disabled = Boolean(this.asking.problem);
  }

  draw() {
    const { title, notes, position, double, scores, rolls } = this.it;
    by("lesson-name").value = title;
    by("lesson-notes").value = notes;
    by("lesson-double").checked = double;
    by("lesson-position").textContent = rolls.length > 0 || double ? `Position ${position}`
      : "The first roll that is added brings its position along.";
    scoreBoxes(by("lesson-scores"), scores, () =>
        this.change({ scores: ticked(by("lesson-scores")) }, false));
    by("lesson-rolls").replaceChildren(...rolls.map((roll, i) => this.rollItem(roll, i)));
    this.drawAdd();
  }

  rollItem(roll, i) {
    const { dice, plays, notes } = roll;
    const flips = this.it.flip.includes(dice);
    const tell = (fields) => this.change({
      rolls: this.it.rolls.map((one, at) => at === i ? { ...one, ...fields } : one) }, false);
    const plane = (is) => this.change({
      flip: [...this.it.flip.filter((one) => one !== dice), ...(is ? [dice] : [])] }, false);
    const away = () => this.change({ rolls: this.it.rolls.filter((_, at) => at !== i),
                                     flip: this.it.flip.filter((one) => one !== dice) });
    return element("li", {},
        element("b", {}, dice), plays.length > 0 ? ` comparing ${plays.join("; ")} ` : " ",
        element("label", {}, element("input", { type: "checkbox", checked: flips,
                on: { change: (event) => plane(event.target.checked) } }), " gammon-price plane"),
        " ", smallButton("Leave out", away, { "aria-label": `leave ${dice} out` }),
        element("textarea", { rows: 2, "aria-label": `your words on ${dice}`,
                placeholder: "Your words on this roll",
                on: { input: (event) => tell({ notes: event.target.value }) } }, notes));
  }
}
