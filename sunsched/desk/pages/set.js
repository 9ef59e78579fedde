// The page on set: what goes on now, the buttons that note what happens, what is noted, the order.
import { ALL, clock, day, find, follow, NOTE, access } from "/own/desk.js";
import { MINUTE, nextOf, rollToCome, room, spell } from "/own/present.js";
import { beginButtons, drawButtons } from "/own/set_buttons.js";
import { drawEvents, undoOf } from "/own/set_events.js";
import { beginOrder, drawOrder } from "/own/set_order.js";
import { beginRest, drawRest } from "/own/set_rest.js";
import { likeliest, stateOf, stepsNow, toCome } from "/own/set_state.js";
import { onTaps, sendSoon, waiting } from "/own/set_taps.js";
import { beginTime, drawTime, isToday, present } from "/own/set_time.js";

const EVERY_MS = 5000;

// Written only when it changes, so that a screen reader stays quiet in between.
function put(id, text) {
  if (find(id).textContent !== text) find(id).textContent = text;
}

function draw() {
  const view = day();
  if (!view || view.faults.length) return;
  drawTime(view);
  const state = stateOf(view, waiting());
  // A time that is set by hand may lie before what is noted already.
  const now = Math.max(present(), state.last ?? 0), steps = stepsNow(view, state, now);
  drawPresent(view, state, steps, now);
  // Then no time can be lost any more, and the day is looked back at.
  const isAllShot = Boolean(view.plan) && state.running === null && !toCome(view, state).length;
  find("over").hidden = !isAllShot;
  if (access >= NOTE) find("rest").hidden = isAllShot;
  drawButtons(state, likeliest(view, state, steps), access >= NOTE ? undoOf(view) : null);
  drawEvents(view);
  drawOrder(view, state, steps);
  drawRest();
}

function drawPresent(view, state, steps, now) {
  const step = steps.find((one) => one.at <= now && now < one.to) ?? null;
  put("says", nowText(view, state, steps, step, now));
  const next = comingOf(steps, step);
  put("next", nextText(view, next));
  find("next").parentElement.hidden = !next;
  if (find("rest")) find("rest").hidden = !view.plan;
  const goal = step ?? steps[0];
  const isCounted = Boolean(goal) && (step !== null || now < goal.at) && (step ?? goal).kind !== "wrap";
  find("figures").hidden = !isCounted;
  if (isCounted) {
    const [left, name] = leftOf(step, goal, now);
    put("left", spell(left, Math.ceil));
    put("left-name", name);
    const roll = rollToCome(steps, step);
    for (const id of ["last", "slack"]) find(id).parentElement.hidden = !roll;
    if (roll) {
      const { by, slack } = room(steps, roll, now);
      put("last-name", `last start of ${roll.shot}`);
      put("last", roll.latest === null ? "–" : clock(roll.latest));
      put("by", by !== null ? `begin by ${clock(by)}` : "");
      const whose = slack && slack.of !== roll.shot ? `, for ${slack.of}` : "";
      put("slack", slack ? spell(Math.abs(slack.room)) + whose : "–");
      put("slack-name", slack && slack.room < 0 ? "too late" : "slack");
    }
  }
  const shot = step?.shot || next?.shot;
  const cautions = view.plan?.rows.find((row) => row.id === shot)?.cautions ?? [];
  find("cautions").hidden = !cautions.length;
  put("cautions", `caution at ${shot}: ${cautions.join("; ")}`);
  const news = view.plan ? view.log.events.length - view.plan.knows_events : 0;
  find("behind").hidden = !(view.plan_fault || view.log.warnings.length);
  put("behind", [view.plan_fault, ...view.log.warnings].filter(Boolean).join("\n"));
  put("pace", !view.plan ? "" : [paceText(steps), `revision ${view.plan.revision}`, news > 0 && view.plan.knows_events ? `${news} events since` : ""].filter(Boolean).join(", "));
}

// What is left of what goes on, or how much it is over; until the first work where none goes on yet.
function leftOf(step, goal, now) {
  if (step?.overdue !== undefined) return [now - step.overdue, "behind"];
  if (step?.due !== undefined) return now > step.due ? [now - step.due, "over"] : [step.due - now, "left"];
  return step ? [step.to - now, "left"] : [goal.at - now, "until work"];
}

function nowText(view, state, steps, step, now) {
  if (state.running !== null) return `${step?.name ?? `shot ${state.running}`}, rolls since ${clock(state.rolledAt)}`;
  if (!view.plan) return `no plan is saved: ${access === ALL ? "the page of the day has one to save; " : ""}what happens can be noted all the same`;
  if (!step) return now < (steps[0]?.at ?? 0) ? `begins ${clock(steps[0].at)}` : "the day is over";
  if (step.kind === "wrap") return `all is shot; wrap is ${clock(view.hours.wrap)}`;
  if (step.says.startsWith("nothing shot")) return `nothing shot until ${clock(step.to)}`;
  return step.overdue === undefined ? `${step.says} until ${clock(step.to)}` : step.says;
}

// What comes next; after a wait that is the shot that is waited for.
function comingOf(steps, step) {
  if (!steps.length) return null;
  if (step?.kind !== "wait" || step.overdue !== undefined) return nextOf(steps, step);
  return steps.slice(steps.indexOf(step)).find((one) => ["roll", "meal", "wrap"].includes(one.kind));
}

function nextText(view, next) {
  if (!next) return "";
  if (next.kind === "wrap") return `wrap ${clock(view.hours.wrap)}`;
  return next.kind === "meal" ? `meal ${clock(next.at)}` : `${next.name}, rolls ${clock(next.at)}`;
}

function paceText(steps) {
  const next = steps.find((one) => one.kind === "roll" && one.planned && one.due === undefined);
  if (!next) return "";
  const late = Math.round((next.at - next.planned.at) / MINUTE);
  if (!late) return "by the plan";
  return `${spell(Math.abs(late) * MINUTE)} ${late > 0 ? "later" : "earlier"} than planned`;
}

beginTime(draw);
beginButtons();
beginOrder(draw);
beginRest();
onTaps(draw);
follow(draw)();
sendSoon(0);
setInterval(() => { draw(); }, EVERY_MS);
document.addEventListener("visibilitychange", () => { if (!document.hidden) draw(); });
