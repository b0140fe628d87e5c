// A roll played on the board, one checker and one die after the other.
//
// Which results a roll may have is told by the server; here only single steps are made, and those
// are offered that lead on to one of these results. So no rule about using both dice is repeated.
import { BAR, OFF, exchanged, keyOf, readPosition, turned } from "./position.js";

const HOME = 6;

/** The position after one checker has moved by one die, or null where it cannot. */
export function stepped({ roller, opponent }, from, die) {
  if (roller[from] === 0 || (from !== BAR && roller[BAR] > 0)) return null;
  const to = Math.max(from - die, OFF);
  if (to === OFF && !mayBearOff(roller, from, die)) return null;
  const blockers = to === OFF ? 0 : opponent[turned(to)];
  if (blockers > 1) return null;
  const after = { roller: [...roller], opponent: [...opponent] };
  --after.roller[from];
  ++after.roller[to];
  if (blockers === 1) {
    --after.opponent[turned(to)];
    ++after.opponent[BAR];
  }
  return after;
}

function mayBearOff(side, from, die) {
  const behind = (place) => side.slice(place + 1).some((count) => count > 0);
  return !behind(HOME) && (from === die || !behind(from));
}

/** Of [{play, result}] as the server tells them: what each play is called, by its result. */
function resultsOf(plays, checkers) {
  return new Map(plays.map(({ play, result }) =>
      [keyOf(exchanged(readPosition(result, checkers))), play]));
}

function diceOf(roll) {
  const dice = [...roll].map(Number);
  return dice[0] === dice[1] ? [...dice, ...dice] : dice;
}

/** A roll that is being played: where it stands, the dice that are left, what it may end in. */
export class Playing {
  constructor(position, roll, plays, checkers) {
    this.results = resultsOf(plays, checkers);
    this.states = [{ position, dice: diceOf(roll) }];
    this.dead = new Set();
  }

  get now() { return this.states[this.states.length - 1]; }

  /** The play's name once it is complete, else undefined. */
  get play() { return this.results.get(keyOf(this.now.position)); }

  /** Of [{from, to, die, position}]: every step that some legal play goes on with. */
  get steps() {
    return this.stepsOf(this.now).filter((step) => this.leadsOn(step));
  }

  stepsOf({ position, dice }) {
    const found = [];
    for (const die of new Set(dice)) {
      for (let from = BAR; from >= 1; --from) {
        const after = stepped(position, from, die);
        if (!after) continue;
        const left = [...dice];
        left.splice(left.indexOf(die), 1);
        found.push({ from, to: Math.max(from - die, OFF), die, position: after, dice: left });
      }
    }
    return found;
  }

  leadsOn(state) {
    const key = keyOf(state.position);
    if (this.results.has(key)) return true;
    const mark = `${key}:${state.dice}`;
    if (this.dead.has(mark)) return false;
    if (this.stepsOf(state).some((step) => this.leadsOn(step))) return true;
    this.dead.add(mark);
    return false;
  }

  /** Where one checker can go by one die or several: a list of steps for each place. */
  waysFrom(from) {
    const ways = new Map();
    const follow = (state, place, taken) => {
      for (const step of this.stepsOf(state)) {
        if (step.from !== place || !this.leadsOn(step)) continue;
        const way = [...taken, step];
        if (!ways.has(step.to) || ways.get(step.to).length > way.length) ways.set(step.to, way);
        if (step.to !== OFF) follow(step, step.to, way);
      }
    };
    follow(this.now, from, []);
    return ways;
  }

  /** Moves a checker; false where no legal play does. */
  move(from, to) {
    const way = this.waysFrom(from).get(to);
    if (!way) return false;
    for (const { position, dice } of way) this.states.push({ position, dice });
    return true;
  }

  back() {
    if (this.states.length > 1) this.states.pop();
  }
}
