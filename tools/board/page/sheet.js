// A sheet that is worked out: the button for it, how far it is, and what it can be taken away as.
import { Work } from "./server.js";
import { button, complain, element } from "./parts.js";

const FORMS = [["sheet.md", "Markdown"], ["sheet.csv", "table"], ["sheet.json", "numbers"]];

export class Sheet {
  /** `words` stand on the button in `holder`; `lesson()` gives a lesson file or throws in words. */
  constructor(holder, words, lesson) {
    this.lesson = lesson;
    this.work = null;
    this.start = button(words, () => this.make(), { class: "main" });
    this.end = button("Stop", () => this.stop(), { hidden: true });
    this.progress = element("p", { class: "aside sheet-progress", "aria-live": "polite" });
    this.links = element("p", { class: "sheet-links" });
    this.complaint = element("p", { class: "warning", role: "alert", hidden: true });
    holder.append(this.start, this.end, this.complaint, this.progress, this.links);
  }

  make() {
    this.clear();
    try {
      this.begin(this.lesson());
    } catch (error) {
      complain(this.complaint, error.message);
    }
  }

  begin(lesson) {
    const work = new Work((event, data) => {
      if (this.work === work) this.heard(event, data);
    });
    this.work = work;
    this.tell("The sheet is being worked out.", true);
    work.start({ kind: "lesson", lesson }).catch((error) => {
      if (this.work === work) this.heard("failed", error.message);
    });
  }

  stop() {
    this.clear();
    this.tell("Stopped.", false);
  }

  /** Ends what is being worked out, and takes away what there was. */
  clear() {
    this.work?.leave();
    this.work = null;
    this.links.replaceChildren();
    complain(this.complaint, "");
    this.tell("", false);
  }

  tell(words, runs) {
    this.progress.textContent = words;
    this.start.hidden = runs;
    this.end.hidden = !runs;
  }

  heard(event, data) {
    if (event === "progress") {
      this.tell(this.progressWords(data), true);
    } else if (event === "failed") {
      this.tell("", false);
      complain(this.complaint, data);
    } else if (event === "stopped") {
      this.tell("Stopped.", false);
    } else {
      this.tell("The sheet is ready.", false);
      this.offer();
    }
  }

  progressWords({ what, part, parts, percent }) {
    const place = parts > 1 ? `, part ${part + 1} of ${parts}` : "";
    const share = percent > 0 ? `, ${Math.floor(percent)}% done` : "";
    return `Working: ${what ?? "rolling out"}${place}${share}`;
  }

  offer() {
    const link = (name, words, attributes) =>
      [element("a", { href: `work/${this.work.id}/${name}`, ...attributes }, words), " "];
    const tab = { target: "_blank", rel: "noopener" };
    this.links.replaceChildren(
        ...link("sheet.html", "Open the sheet", tab),
        ...link("quiz.html", "Open it as a quiz", tab),
        ...link("sheet.html", "Save the page", { download: "sheet.html" }),
        ...FORMS.flatMap(([name, words]) => link(name, `Save its ${words}`, { download: name })));
  }
}
