// The queue that was named at the start: put into it, see how far it has come, open its sheets.
import { requestOf } from "./store.js";
import { asked, told } from "./server.js";
import { announce, by, complain, element, plain } from "./parts.js";

export class Queue {
  constructor(store, asking, lesson) {
    this.store = store;
    this.asking = asking;
    by("queue").hidden = by("queue-link").hidden = false;
    by("queue-lesson").addEventListener("click", () =>
        this.guarded(() => this.put({ lesson: lesson.file() })));
    by("queue-question").addEventListener("click", () =>
        this.guarded(() => this.put({ request: this.question() })));
    by("look-at-queue").addEventListener("click", () => this.guarded(() => this.look()));
    this.guarded(() => this.look());
  }

  async guarded(does) {
    complain(by("queue-complaint"), "");
    try {
      await does();
    } catch (error) {
      complain(by("queue-complaint"), error.message);
    }
  }

  question() {
    const plays = [...this.asking.chosen];
    return { ...requestOf(this.store.board), ...(plays.length > 0 && { plays }),
             ...this.asking.settings() };
  }

  async put(what) {
    const priority = Number(by("priority").value) || 0;
    const { entries } = await told("queue", { ...what, priority });
    announce(`Entry ${entries.join(", ")} of the queue.`);
    await this.look();
  }

  async look() {
    const { entries } = await asked("queue");
    const heads = ["Entry", "Title", "State", "Known to ±", "Open"].map((words) =>
        element("th", { scope: "col" }, words));
    by("queue-list").replaceChildren(entries.length === 0
      ? element("p", { class: "aside" }, "The queue is empty.")
      : element("table", {}, element("thead", {}, element("tr", {}, ...heads)),
                element("tbody", {}, ...entries.map((entry) => this.row(entry)))));
  }

  row({ entry, title, state, half_width, open, trials, error }) {
    const sheet = { href: `queue/${entry}/sheet.html`, target: "_blank", rel: "noopener" };
    const name = trials > 0 ? element("a", sheet, title) : title;
    const known = half_width === null || half_width === undefined ? "" : plain(half_width);
    return element("tr", {}, element("th", { scope: "row" }, entry), element("td", {}, name),
                   element("td", {}, error ? `${state}: ${error}` : state),
                   element("td", {}, known), element("td", {}, open ?? ""));
  }
}
