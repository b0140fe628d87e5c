// A lesson that is being collected: rolls of one position, scores, the teacher's words; its file
// and its sheet.
import { readPosition } from "./position.js";
import { fetched, firstBoard, keep, requestOf } from "./store.js";
import { scoreBoxes, ticked } from "./scores.js";
import { Work, told } from "./server.js";
import { announce, smallButton, by, complain, download, element } from "./parts.js";

const KEPT = "sixfold lesson";
const ASKED = ["position", "checkers", "cube", "jacoby", "beavers"];
const EMPTY = { title: "", notes: "", rolls: [], scores: ["money"], flip: [], double: false };

export class Lesson {
  constructor(store, asking) {
    this.store = store;
    this.asking = asking;
    this.it = { ...EMPTY, ...fetched(KEPT) };
    this.listenToFields();
    this.listenToButtons();
    asking.listen(() => this.drawAdd());
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
      "make-sheet": () => this.makeSheet(),
      "stop-sheet": () => this.stopSheet(),
      "save-lesson": () => this.guarded(() => this.save()),
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
    this.work?.leave();
    this.work = null;
    this.it = EMPTY;
    by("sheet-links").replaceChildren();
    by("sheet-progress").textContent = "";
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

  guarded(does) {
    complain(by("lesson-complaint"), "");
    try {
      return does();
    } catch (error) {
      complain(by("lesson-complaint"), error.message);
      return null;
    }
  }

  save() {
    download("lesson.json", "application/json", `${JSON.stringify(this.file(), null, 2)}\n`);
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

  // The sheet.

  makeSheet() {
    const lesson = this.guarded(() => this.file());
    if (!lesson) return;
    this.work?.leave();
    by("sheet-links").replaceChildren();
    by("sheet-progress").textContent = "The sheet is being worked out.";
    const work = new Work((event, data) => {
      if (this.work === work) this.heard(event, data);
    });
    this.work = work;
    this.drawSheet(true);
    work.start({ kind: "lesson", lesson }).catch((error) => this.heard("failed", error.message));
  }

  stopSheet() {
    this.work?.leave();
    this.work = null;
    by("sheet-progress").textContent = "Stopped.";
    this.drawSheet(false);
  }

  heard(event, data) {
    if (event === "progress") {
      const part = data.parts > 1 ? `, part ${data.part + 1} of ${data.parts}` : "";
      const share = data.percent > 0 ? `, ${Math.floor(data.percent)}% done` : "";
      by("sheet-progress").textContent = `${data.what ?? "rolling out"}${part}${share}`;
      return;
    }
    this.drawSheet(false);
    if (event === "failed") {
      complain(by("lesson-complaint"), data);
      by("sheet-progress").textContent = "";
      return;
    }
    by("sheet-progress").textContent = "The sheet is ready.";
    const link = (name, words, attributes = {}) =>
      element("a", { href: `work/${this.work.id}/${name}`, ...attributes }, words);
    by("sheet-links").replaceChildren(
        link("sheet.html", "Open the sheet", { target: "_blank", rel: "noopener" }), " ",
        link("quiz.html", "Open it as a quiz", { target: "_blank", rel: "noopener" }), " ",
        link("sheet.html", "Save the page", { download: "sheet.html" }), " ",
        link("sheet.md", "Save as Markdown", { download: "sheet.md" }), " ",
        link("sheet.csv", "Save the table", { download: "sheet.csv" }), " ",
        link("sheet.json", "Save its numbers", { download: "sheet.json" }));
  }

  // On the page.

  drawSheet(runs) {
    by("make-sheet").hidden = runs;
    by("stop-sheet").hidden = !runs;
  }

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
