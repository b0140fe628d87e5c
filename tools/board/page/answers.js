// Answers as tables and bars: what plays cost, how games end, what a double gains.
import { button, drawn, element, percent, plain, plusMinus, signed, smallButton } from "./parts.js";

const OUTCOMES = ["lose_backgammon", "lose_gammon", "lose_single", "win_single", "win_gammon",
                  "win_backgammon"];
const OUTCOME_WORDS = ["lost backgammons", "lost gammons", "lost single games",
                       "won single games", "won gammons", "won backgammons"];
const WIDTH = 200;
const FIRST_SHOWN = 8;
const ROLLS_NAMED = 4;  // as many as the report of the command line names

/** A number or an estimate as an estimate. */
const estimate = (value) => typeof value === "number" ? { mean: value, half_width: 0 } : value;

const shares = (outcomes) => OUTCOMES.map((name) => estimate(outcomes[name]).mean);

export function costText(cost) {
  if (cost.at_least !== undefined) return `over ${plain(cost.at_least)}`;
  const { mean, half_width } = estimate(cost);
  return half_width > 0 ? `${plain(mean)} ${plusMinus(half_width)}` : plain(mean);
}

function equityText(equity) {
  const { mean, half_width } = estimate(equity);
  return half_width > 0 ? `${signed(mean)} ${plusMinus(half_width)}` : signed(mean);
}

/** A bound of a scale that stays while intervals shrink: 1, 2 or 5 times a power of ten. */
function roundScale(largest) {
  const power = 10 ** Math.floor(Math.log10(Math.max(largest, 0.001)));
  return [1, 2, 5, 10].map((step) => step * power).find((bound) => bound >= largest);
}

function scaleOf(plays) {
  const reach = plays.map(({ cost }) => cost.at_least ??
                                        estimate(cost).mean + estimate(cost).half_width);
  return roundScale(Math.max(0.02, ...reach));
}

const rectangle = (x, y, width, height, kind) =>
  drawn("rect", { x, y, width: Math.max(width, 0), height, class: kind });

const line = (x1, y1, x2, y2, kind) => drawn("line", { x1, y1, x2, y2, class: kind });

/** A bar from zero, and its interval. */
function costBar(cost, scale) {
  const at = (value) => 2 + (WIDTH - 4) * Math.min(Math.max(value, 0), scale) / scale;
  const parts = [line(2, 0, 2, 16, "axis-line")];
  if (cost.at_least !== undefined) {
    parts.push(rectangle(2, 4, at(cost.at_least) - 2, 8, "cost-bar beyond"));
  } else {
    const { mean, half_width } = estimate(cost);
    parts.push(rectangle(2, 4, at(mean) - 2, 8, "cost-bar"));
    const [low, high] = [at(mean - half_width), at(mean + half_width)];
    if (half_width > 0) {
      parts.push(line(low, 8, high, 8, "whisker"), line(low, 4, low, 12, "whisker"),
                 line(high, 4, high, 12, "whisker"));
    }
  }
  return drawn("svg", { viewBox: `0 0 ${WIDTH} 16`, role: "img", class: "cost-chart",
                        preserveAspectRatio: "none", "aria-label": `cost ${costText(cost)}` },
               ...parts);
}

/** The six outcomes, stacked: losses from the left, wins to the right. */
function outcomeBar(outcomes) {
  const parts = [];
  let x = 0;
  const means = shares(outcomes);
  means.forEach((share, i) => {
    const bar = rectangle(x, 1, WIDTH * share, 14, `o${i}`);
    bar.append(drawn("title", {}, `${OUTCOME_WORDS[i]} ${percent(share)}`));
    parts.push(bar);
    x += WIDTH * share;
  });
  const words = means.map((share, i) => `${OUTCOME_WORDS[i]} ${percent(share)}`).join(", ");
  return drawn("svg", { viewBox: `0 0 ${WIDTH} 16`, role: "img", class: "chart outcomes",
                        preserveAspectRatio: "none", "aria-label": words }, ...parts);
}

function outcomeWords(outcomes) {
  const [loseBackgammon, loseGammon, , winSingle, winGammon, winBackgammon] = shares(outcomes);
  return `wins ${percent(winSingle + winGammon + winBackgammon)}, ` +
         `g+ ${percent(winGammon + winBackgammon)}; ` +
         `loses g+ ${percent(loseGammon + loseBackgammon)}`;
}

function legend() {
  return element("p", { class: "legend aside" }, ...OUTCOME_WORDS.flatMap((words, i) =>
      [element("span", { class: "unbroken" }, element("span", { class: `chip o${i}` }), words),
       " "]), element("span", { class: "unbroken" }, "g+: by a gammon or more"));
}

/** A play leads until all others are known to be worse. */
function verdictCell(play, isSettled) {
  const leads = play.verdict === "best" && !isSettled;
  const kinds = { best: leads ? "" : "is-settled", open: "is-open", worse: "is-worse" };
  const verdict = leads ? "best so far" : play.verdict;
  const words = play.grade ? `${verdict}, ${play.grade}` : verdict;
  return element("td", { class: `verdict ${kinds[play.verdict] ?? ""}` }, words ?? "");
}

const isSettled = (plays) => plays.every(({ verdict }) => verdict !== "open");

function toldWords(play) {
  if (play.cost.at_least !== undefined) return ["set aside after few trials"];
  const part = (words) => element("span", { class: "unbroken" }, words);
  return [part(`equity ${equityText(play.equity)};`), " ", part(outcomeWords(play.outcomes))];
}

/**
 * wishes: chosen (a set of plays), choose(play, is), shown (a play or null), show(play or null),
 * take(play), played (in a recorded match, or null), isSettled (no play is open any more).
 */
function playRows(play, scale, wishes) {
  const { play: name } = play;
  const isShown = wishes.shown === name;
  const box = element("input", { type: "checkbox", "aria-label": `compare ${name}`,
                                 checked: wishes.chosen.has(name),
                                 on: { change: (e) => wishes.choose(name, e.target.checked) } });
  const head = element("tr", {}, element("td", { class: "choice-box" }, box),
      element("th", { scope: "row" },
              button(name, () => wishes.show(isShown ? null : name),
                     { class: "play", "aria-pressed": String(isShown),
                       title: "show it on the board" }),
              wishes.played === name ? element("mark", {}, " played") : ""),
      element("td", { class: "cost-cell" }, play.rank === 1 ? "" : costText(play.cost)),
      verdictCell(play, wishes.isSettled));
  const told = play.cost.at_least === undefined;
  const bars = element("td", { colspan: 4 }, element("div", { class: "bars" },
      costBar(play.cost, scale), told ? outcomeBar(play.outcomes) : ""),
      element("div", { class: "told" },
              element("span", {}, ...toldWords(play)),
              isShown ? smallButton("Play it", () => wishes.take(name)) : ""),
      ...(isShown && play.rank > 1 && play.ledger ? ledgerParts(play) : []));
  return element("tbody", { class: isShown ? "shown" : "" }, head,
                 element("tr", { class: "bar-row" }, bars));
}

/** The next rolls that most of the difference comes from, as far as the trials tell. */
function rollWords(shares) {
  const told = shares.filter(({ share }) => Math.abs(share.mean) > share.half_width)
    .sort((a, b) => Math.abs(b.share.mean) - Math.abs(a.share.mean)).slice(0, ROLLS_NAMED);
  if (told.length === 0) return "No single roll of the opponent’s makes the difference.";
  const parts = told.map(({ dice, share }) => `${dice} ${equityText(share)}`);
  return `Of the opponent’s next rolls it comes above all from ${parts.join(", ")}.`;
}

/** Where a cost comes from: what the best play has more or less of, and what that is worth. */
function ledgerParts(play) {
  return [ledgerTable(play), element("p", { class: "aside" }, rollWords(play.by_roll ?? []))];
}

function ledgerTable({ play, ledger }) {
  const told = ledger.filter(({ worth }) => worth.mean !== 0);
  const rows = told.map(({ name, change, price, worth }) =>
      element("tr", {}, element("th", { scope: "row" }, name),
              element("td", {}, change ? `${signed(100 * change.mean, 2)} ` +
                                         `± ${(100 * change.half_width).toFixed(2)}` : ""),
              element("td", {}, price === undefined ? "" : signed(price, 2)),
              element("td", {}, equityText(worth))));
  const heads = ["", "Games in 100", "Worth each", "Equity"].map((words) =>
      element(words ? "th" : "td", words ? { scope: "col" } : {}, words));
  return element("table", { class: "ledger" },
      element("caption", {}, `What the best play gains on ${play}`),
      element("thead", {}, element("tr", {}, ...heads)), element("tbody", {}, ...rows));
}

/** The plays of a roll; `wishes.all` shows all of them, `wishes.showAll()` asks for that. */
export function playTable(answer, wishes) {
  const few = answer.plays.filter(({ play }, i) =>
      wishes.all || i < FIRST_SHOWN || play === wishes.played);
  const scale = scaleOf(few);
  const all = { ...wishes, isSettled: isSettled(answer.plays) };
  const kind = answer.settings ? "by rollout" : "by the net’s own values, at once";
  const table = element("table", { class: "plays-table" },
      element("caption", {}, `${answer.plays.length} plays of ${answer.dice}, ${kind}; ` +
                             `bars of costs end at ${plain(scale, scale < 0.1 ? 2 : 1)}`),
      element("thead", {}, element("tr", {}, element("td", {}),
          ...["Play", "Cost", answer.settings ? "Verdict" : ""].map((words) =>
              element(words ? "th" : "td", words ? { scope: "col" } : {}, words)))),
      ...few.map((play) => playRows(play, scale, all)));
  const parts = [table];
  if (few.length < answer.plays.length) {
    parts.push(smallButton(`All ${answer.plays.length} plays`, wishes.showAll));
  }
  if (answer.settings) parts.push(element("p", { class: "aside" }, trialWords(answer)));
  return element("div", {}, ...parts, legend());
}

function trialWords({ plays, seed, settings }) {
  const trials = plays.map((play) => play.trials);
  const [least, most] = [Math.min(...trials), Math.max(...trials)];
  return `${least === most ? most : `${least} to ${most}`} trials of each play, seed ${seed}; ` +
         `± is half of the ${Math.round(100 * settings.confidence)}% interval.`;
}

// The double.

const ACTION_WORDS = { "no double": "No double, and a take.",
                       "double, take": "Double, and take.", "double, pass": "Double, and pass.",
                       "too good": "Too good to double: play on for the gammon." };

function actionRow(words, equity, cost) {
  return element("tr", {}, element("th", { scope: "row" }, words),
                 element("td", {}, equityText(equity)),
                 element("td", {}, cost === undefined ? "" : plain(cost)));
}

function settledWords(answer) {
  if (!answer.settled) return answer.method === "exact" ? "Exact." : "By the cube model, at once.";
  const open = [["double", "to double or not"], ["take", "to take or to pass"]]
    .filter(([name]) => !answer.settled[name]).map(([, words]) => words);
  return open.length === 0 ? "Settled by the rollout." : `Open: ${open.join("; ")}.`;
}

function pointWords(answer) {
  const points = [["double_point", "doubling from"], ["cash_point", "cash point"],
                  ["take_point", "take point"], ["market_losers", "market losers"]];
  return points.filter(([name]) => answer[name] !== undefined)
    .map(([name, words]) => `${words} ${percent(answer[name])}`).join(", ");
}

/** A position before the roll: what it is worth, and whether to double. */
export function doubleTable(answer) {
  const rolled = answer.rollout ?? {};
  const value = (name) => rolled[name]?.equity ?? answer[name];
  const may = answer.double_take !== undefined;
  const costs = answer.costs ?? {};
  const table = element("table", {},
      element("caption", {}, "Equity of each action, and what it costs"),
      element("thead", {}, element("tr", {}, ...["Action", "Equity", "Cost"].map((words) =>
          element("th", { scope: "col" }, words)))),
      element("tbody", {}, actionRow("no double", value("no_double"), costs.no_double),
              may ? actionRow("double, take", value("double_take"), costs.double) : "",
              may ? actionRow("double, pass", value("double_pass")) : ""));
  return element("div", {},
      element("p", { class: "action" }, may ? ACTION_WORDS[answer.action]
                                            : "Nobody on roll may double here."),
      element("p", { class: answer.settled ? "is-settled" : "aside" }, settledWords(answer)),
      table, outcomeBar(answer.outcomes),
      element("p", { class: "aside" }, outcomeWords(answer.outcomes)),
      may ? element("p", { class: "aside" }, pointWords(answer)) : "", legend());
}

/** A position before the roll without a cube. */
export function valueParts(answer) {
  return element("div", {},
      element("p", { class: "action" }, `Equity ${equityText(answer.equity)}.`),
      outcomeBar(answer.outcomes),
      element("p", { class: "aside" }, outcomeWords(answer.outcomes)), legend());
}

/** The answer in a line, for below the board. */
export function shortAnswer(answer) {
  if (!answer) return "";
  if (answer.action !== undefined) {
    return answer.double_take === undefined ? "" : ACTION_WORDS[answer.action];
  }
  if (!answer.plays) return `Equity ${equityText(answer.equity)}.`;
  const [best, next] = answer.plays;
  if (!next) return `${best.play} is the only play.`;
  const verdict = next.verdict === "open" ? ", open" : "";
  return `${best.play}; then ${next.play} costs ${costText(next.cost)}${verdict}.`;
}

/** One line of score by score: the best play or action, and how far the next one is behind. */
export function scoreRow(score, answer, complaint) {
  const cells = complaint ? [element("td", { colspan: 3, class: "warning" }, complaint)]
    : !answer ? [element("td", { colspan: 3 }, "\u2026")]
    : answer.plays ? playCells(answer) : actionCells(answer);
  return element("tr", {}, element("th", { scope: "row" }, score), ...cells);
}

function playCells(answer) {
  const [best, next] = answer.plays;
  if (!best) return [element("td", { colspan: 3 }, "\u2026")];
  return [element("td", { class: "choice" }, best.play),
          element("td", {}, next ? `${next.play}, ${costText(next.cost)}` : "the only play"),
          next ? verdictCell(next, true) : element("td", {})];
}

function actionCells(answer) {
  if (answer.action === undefined) {
    return [element("td", { class: "choice" }, "no cube"),
            element("td", {}, `equity ${equityText(answer.equity)}`), element("td", {})];
  }
  const costs = answer.costs;
  return [element("td", { class: "choice" }, answer.action),
          element("td", {}, costs ? `not doubling costs ${plain(costs.no_double)}, ` +
                                    `doubling ${plain(costs.double)}` : ""),
          element("td", {}, answer.settled ? (answer.settled.double ? "settled" : "open") : "")];
}
