// The page begins: its parts, each of which listens to what is on the board.
import { Asking } from "./asking.js";
import { Controls } from "./controls.js";
import { Lesson } from "./lesson.js";
import { Queue } from "./queue.js";
import { Record } from "./record.js";
import { ScoreBook } from "./scores.js";
import { Store } from "./store.js";
import { Table } from "./table.js";
import { asked } from "./server.js";
import { by, complain } from "./parts.js";

const store = new Store();
const table = new Table(store);
new Controls(store, table);
const asking = new Asking(store, table);
new ScoreBook(store, asking);
const lesson = new Lesson(store, asking);
const record = new Record(store, asking);
// There is room for the texts beside the answer, but not above it on a telephone.
by("texts").open = matchMedia("(min-width: 600px)").matches;

try {
  const state = await asked("state");
  by("foot").textContent = `Sixfold ${state.version}, net ${state.net}`;
  if (state.queue) new Queue(store, asking, lesson);
  if (state.match) record.offerGiven();
} catch (error) {
  complain(by("answer-complaint"), error.message);
}
