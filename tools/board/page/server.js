// What is asked of the server: answers in JSON, and long work that tells how far it has come.

/** A complaint of the server, in its words. */
class Refusal extends Error {}

async function answered(path, options) {
  let answer;
  try {
    answer = await fetch(path, options);
  } catch (error) {
    if (error.name === "AbortError") throw error;
    throw new Refusal("The program does not answer: has it been ended?");
  }
  if (answer.ok) return answer;
  const text = await answer.text();
  let words = `The program answers with ${answer.status}.`;
  try {
    words = JSON.parse(text).error ?? words;
  } catch { /* Not its own form: the number has to do. */ }
  throw new Refusal(words);
}

export async function asked(path) {
  return (await answered(path)).json();
}

const posted = (body, signal) => ({
  method: "POST", signal, headers: { "Content-Type": "application/json" },
  body: JSON.stringify(body),
});

export async function told(path, body, signal) {
  return (await answered(path, posted(body, signal))).json();
}

export async function toldText(path, body) {
  return (await answered(path, posted(body))).text();
}

/** Sends a file as it is. */
export async function sent(path, content) {
  return (await answered(path, { method: "POST", body: content })).json();
}

/**
 * One request at a time: a newer one ends the older, whose answer nobody wants any more.
 * The last of `wait` milliseconds counts.
 */
export class Latest {
  constructor(wait) { this.wait = wait; }

  drop() {
    clearTimeout(this.timer);
    this.controller?.abort();
    this.controller = null;
  }

  /** `does(signal)` is called later; what it throws goes to `failed`, but for being dropped. */
  ask(does, failed) {
    this.drop();
    const controller = new AbortController();
    this.controller = controller;
    this.timer = setTimeout(() => {
      does(controller.signal).catch((error) => {
        if (error.name !== "AbortError" && !controller.signal.aborted) failed(error);
      });
    }, this.wait);
  }
}

/** Long work: begun by start(), watched by its events, stopped, gone on with. */
export class Work {
  /** `tell(event, data)`: "progress", "done", "stopped" with data; "failed" with words. */
  constructor(tell) {
    this.tell = tell;
    this.id = null;
    this.stream = null;
    this.wanted = true;
  }

  get runs() { return this.stream !== null; }

  async start(body) {
    const { work } = await told("work", body);
    // Who has left meanwhile has nothing to watch, and nothing that would end it.
    if (this.wanted) this.watch(work);
    else await told(`work/${work}/stop`, {});
  }

  async goOn() {
    const { work } = await told(`work/${this.id}/go-on`, {});
    this.watch(work);
  }

  async stop() {
    if (this.runs) await told(`work/${this.id}/stop`, {});
  }

  /** Nobody waits for it any more; the server ends it when the stream closes. */
  leave() {
    this.wanted = false;
    this.close();
  }

  close() {
    this.stream?.close();
    this.stream = null;
  }

  watch(id) {
    this.id = id;
    const stream = new EventSource(`work/${id}`);
    this.stream = stream;
    stream.addEventListener("progress", (event) => this.tell("progress", JSON.parse(event.data)));
    for (const end of ["done", "stopped", "failed"]) {
      stream.addEventListener(end, (event) => {
        this.close();
        const data = JSON.parse(event.data);
        this.tell(end, end === "failed" ? data.error : data);
      });
    }
    stream.onerror = () => {
      if (this.stream !== stream) return;
      this.close();
      this.tell("failed", "The connection to the program was lost.");
    };
  }
}
