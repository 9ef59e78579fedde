"use strict";
// What goes on between call and wrap, step by step: what comes next, and how much room it has. The
// phone page has this within it, the page of the desk asks for it; all of it is plain data.

export const MINUTE = 60000;

export function spell(ms, round = Math.round) {
  const minutes = round(ms / MINUTE);
  if (minutes < 100) return `${minutes} min`;
  if (minutes < 2880) return `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
  return `${Math.floor(minutes / 1440)} days`;
}

// Steps that are still to come, later than planned by `late` or earlier where that is below zero:
// waits take up what they can, and nobody begins before the light, the cast or the spot is there.
// `least` may put off the end of a step.
export function goOn(steps, late, wrap, least = (_, end) => end) {
  const found = [];
  let at = null;
  for (const step of steps) {
    if (at === null) at = step.kind === "call" ? step.at : step.at + late;
    const start = Math.max(at, step.soonest !== null && step.kind !== "wait" ? step.soonest : at);
    if (start > at) {
      const says = step.name ? `ready for ${step.name}` : `wait until the ${step.kind}`;
      found.push({ ...step, kind: "wait", line: "", at, to: start, says, moved: true });
    }
    let end = start + step.to - step.at;
    if (step.kind === "call") end = Math.max(start, step.to + late);
    if (step.kind === "wrap") end = Math.max(start, wrap);
    // A wait for something ends when that is there; any other is as short as the crew likes.
    if (step.kind === "wait") end = Math.max(start, step.soonest ?? (late > 0 ? step.to : start));
    at = least(step, end);
    found.push({ ...step, at: start, to: at, moved: true, planned: step });
  }
  return found;
}

export const rollOf = (steps, shot) => steps.find((one) => one.kind === "roll" && one.shot === shot);
export const begunOf = (steps, shot) => steps.find((one) => one.kind !== "wait" && one.shot === shot);

// The next roll, meal or wrap after a step; from the first one on where there is none.
export function nextOf(steps, step) {
  const from = step ? steps.indexOf(step) + 1 : 0;
  return steps.slice(from).find(
    (one) => ["roll", "meal", "wrap"].includes(one.kind) && !(step && one.row === step.row),
  );
}

// The next shot to begin to roll: that is the one that can still be too late.
export function rollToCome(steps, step) {
  const rest = step ? steps.slice(steps.indexOf(step)) : steps;
  return rest.find((one) => one.kind === "roll" && one !== step);
}

// By when the changeover of a roll must begin, where that is still to come, and how much later than
// now the roll can start or be begun, with whose last start that is; null for what has no end. A step
// that starts later pushes all that comes after it, and waits are used up first: it is the least room
// of them all.
export function room(steps, roll, now) {
  const begun = begunOf(steps, roll.shot);
  const isDue = roll.by !== null && begun && begun.at > now;
  const rest = steps.slice(steps.indexOf(roll));
  const done = new Set([roll.shot]);
  let slack = isDue ? { room: roll.by - begun.at, of: roll.shot } : null;
  let waits = 0;
  const take = (until, step) => {
    const left = until - step.at + waits;
    if (!slack || left < slack.room) slack = { room: left, of: step.shot || `the ${step.kind}` };
  };
  for (const step of rest) {
    if (step.kind === "wait") {
      waits += step.to - step.at;
      continue;
    }
    const own = step.shot ? rollOf(rest, step.shot) : null;
    if (own && own.by !== null && !done.has(step.shot)) take(own.by, step);
    if (step.shot) done.add(step.shot);
    if (step.latest !== null) take(step.latest, step);
  }
  return { by: isDue ? roll.by : null, slack };
}
