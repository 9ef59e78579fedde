// How far the day has come: what the log says, with the taps on top that wait to be sent; and what
// the plan makes of it. Plain data in and out.
import { MINUTE, goOn } from "/own/present.js";

const AROUND = 6 * 60 * MINUTE; // events are noted on the way to the set and after the wrap too

export const isOnDay = (view, now) => now >= view.hours.crew_call - AROUND && now <= view.hours.hard_wrap + AROUND;

// Give how far the day has come once what waits is noted.
export function stateOf(view, waiting) {
  const log = view.log;
  const lengths = new Map([...view.shots, ...log.added].map((shot) => [shot.id, shot.shoot_min]));
  for (const row of view.plan?.rows ?? []) lengths.set(row.id, Math.round((row.to - row.from) / MINUTE));
  const said = new Map(log.said.map((one) => [`${one.what} ${one.name}`, one.kind]));
  const known = new Set([...lengths.keys(), ...log.shots]);
  const newest = log.events.filter((one) => one.holds).at(-1) ?? null;
  const state = {
    known, lengths, said, running: log.running, rolledAt: log.rolled_at, made: new Set(log.made), cut: new Set(log.cut),
    meal: log.meal, free: log.events.length ? log.free : null, last: newest?.at ?? null, number: newest?.number ?? 0,
    extra: new Map(Object.entries(log.more_min)),
  };
  for (const tap of waiting.filter((one) => !one.refused)) apply(view, state, tap);
  return state;
}

function apply(view, state, tap) {
  const { event, subject, at } = tap;
  if (event === "undo") { takeBack(view, state, Number(tap.value)); return; }
  state.last = Math.max(state.last ?? at, at);
  state.number = Infinity; // no plan knows of it
  const length = () => ((state.lengths.get(subject) ?? 0) + (state.extra.get(subject) ?? 0)) * MINUTE;
  if (event === "rolled") Object.assign(state, { running: subject, rolledAt: at, free: at + length() });
  else if (event === "done") { state.running = null; state.made.add(subject); state.free = at; }
  else if (event === "cut") state.cut.add(subject);
  else if (event === "meal") Object.assign(state, { meal: at, free: at + view.meal.length_min * MINUTE });
  else if (event === "late") state.free = Math.max(state.free ?? at, at) + Number(tap.value) * MINUTE;
  else if (event === "more") {
    state.extra.set(subject, (state.extra.get(subject) ?? 0) + Number(tap.value));
    if (state.running === subject) state.free += Number(tap.value) * MINUTE;
  } else if (["gone", "here"].includes(event)) state.said.set(`cast ${subject}`, event);
  else if (["closed", "open"].includes(event)) state.said.set(`spot ${subject}`, event);
}

function takeBack(view, state, number) {
  const event = view.log.events.find((one) => one.number === number);
  if (!event) return;
  if (event.kind === "rolled") state.running = null;
  else if (event.kind === "done") { state.made.delete(event.subject); state.running = event.subject; }
  else if (event.kind === "cut") state.cut.delete(event.subject);
  else if (event.kind === "meal") state.meal = null;
}

export const isOver = (state, id) => state.made.has(id) || state.cut.has(id);
export const toCome = (view, state) => {
  const planned = (view.plan?.rows ?? []).map((row) => row.id);
  const others = [...state.known].filter((id) => !planned.includes(id));
  return [...planned, ...others].filter((id) => !isOver(state, id) && id !== state.running);
};

// The steps of the plan from what goes on now to the wrap, as late or early as the crew is.
export function stepsNow(view, state, now) {
  if (!view.plan) return [];
  const hasBegun = state.last !== null;
  const rest = view.plan.steps.filter((step) => {
    if (step.kind === "wrap") return true;
    if (step.kind === "call") return !hasBegun;
    if (step.kind === "meal") return state.meal === null;
    if (step.shot && (isOver(state, step.shot) || step.shot === state.running)) return false;
    return true;
  });
  const found = [];
  let free = state.free;
  if (state.running !== null) {
    const id = state.running;
    const planned = view.plan.steps.find((step) => step.kind === "roll" && step.shot === id);
    const name = planned?.name ?? `shot ${id}`;
    const whole = ((state.lengths.get(id) ?? 0) + (state.extra.get(id) ?? 0)) * MINUTE;
    const end = Math.max(state.rolledAt + Math.max(whole, MINUTE), free ?? 0);
    free = Math.max(end, now);
    found.push({
      ...(planned ?? { row: "", line: "" }), kind: "roll", shot: id, name, at: state.rolledAt, to: Math.max(end, now + 1),
      due: end, says: `${name}, rolling`, soonest: null, latest: null, by: null, planned,
    });
  } else if (state.meal !== null && free !== null && now < state.meal + view.meal.length_min * MINUTE) {
    const to = state.meal + view.meal.length_min * MINUTE;
    found.push({ kind: "meal", row: "", line: "", at: state.meal, to, says: "meal", shot: "", name: "", soonest: null, latest: null, by: null });
  }
  if (!rest.length) return found;
  // What was noted before the plan was saved is in the plan.
  const isKnown = state.number <= view.plan.knows_events && state.running === null;
  const wrap = view.hours.wrap;
  // But what was lost is not over yet: it is a wait that nobody makes shorter.
  const least = (step, end) => (isKnown && step.kind === "wait" ? Math.max(end, Math.min(step.to, free ?? 0)) : end);
  let late = free === null || isKnown ? 0 : free - rest[0].at;
  let steps = goOn(rest, late, wrap, least);
  const next = steps.find((step) => step.kind === "roll" || step.kind === "meal");
  if (state.running === null && found.length === 0 && next && next.at < now) {
    // Nothing has begun, so it begins at the next minute at the earliest.
    const soon = Math.floor(now / MINUTE) * MINUTE + MINUTE;
    late += soon - next.at;
    steps = goOn(rest, late, wrap, least);
    const due = steps.findIndex((step) => step.kind === next.kind && step.shot === next.shot);
    const says = next.kind === "meal" ? "the meal has not begun" : `${next.name}, does not roll yet`;
    const wait = { ...next, kind: "wait", at: now - MINUTE, to: steps[due].at, says, overdue: next.planned.at };
    steps = [wait, ...steps.slice(due)];
  }
  return [...found, ...steps];
}

// What is likeliest to be noted next: its event, its shot, and when the plan has it.
export function likeliest(view, state, steps) {
  if (state.running !== null) return { event: "done", subject: state.running, says: `${state.running} done`, at: steps[0]?.due ?? null };
  const next = steps.find((step) => step.kind === "roll" || (step.kind === "meal" && step.planned));
  if (!next) return null;
  if (next.kind === "meal") return { event: "meal", subject: "", says: "meal begins", at: next.at };
  return { event: "rolled", subject: next.shot, says: `${next.shot} rolls`, at: next.at };
}
