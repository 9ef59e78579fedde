// "We lost an hour": the ways to shoot the rest as pictures with what each loses; one is taken with
// a second tap.
import { ALL, NOTE, access, ask, clock, day, find, make, percent, send } from "/own/desk.js";
import { drawStrips } from "/own/set_strips.js";
import { moment } from "/own/set_time.js";
import { waiting } from "/own/set_taps.js";

const LOST = [15, 30, 45, 60, 90];
const KEY = "Upper strip: as it was planned; lower: the choice. The lighter a roll, the more of its light it keeps; black: made or rolling; a line joins what moved, a thick one what changed its place; dashed: now, and the meal.";
let asking = null; // aborts the question that is being worked out
let found = null;
let isTaking = false;
let armed = ""; // the choice whose first tap was made

export function beginRest() {
  if (access < NOTE) return;
  const own = make("input", { type: "number", id: "lost", min: 0, max: 720, step: 1, inputMode: "numeric", value: "" });
  const take = () => { if (own.value !== "" && own.reportValidity()) begin(Number(own.value)); };
  own.addEventListener("keydown", (event) => { if (event.key === "Enter") { event.preventDefault(); take(); } });
  find("ask-rest").replaceChildren(
    make("p", { class: "soft" }, "How much was lost, from the time that is set above? What is noted as late already is known; “as it stands” looks for a better order with nothing lost."),
    make("div", { class: "grid" },
      ...LOST.map((amount) => make("button", { type: "button", onclick: () => begin(amount) }, amount === 60 ? "an hour" : `${amount} min`)),
      make("button", { type: "button", onclick: () => begin(0) }, "as it stands")),
    make("div", { class: "line" }, make("label", { htmlFor: "lost" }, "other minutes"), own,
      make("button", { type: "button", onclick: take }, "look")));
}

function state(text) {
  find("rest-state").textContent = text;
}

async function begin(late_min, assume = null, at = moment()) {
  asking?.abort();
  const mine = asking = new AbortController();
  found = null;
  armed = "";
  find("choices").replaceChildren();
  if (waiting().some((tap) => !tap.refused)) { state("taps wait to be sent: without them no rest can be planned"); return; }
  state("looking…");
  try {
    await ask("on_set.rest", { at, late_min, assume }, (record) => {
      if (mine !== asking) return;
      if (record.silence) { askSilence(record.silence, late_min, at); return; }
      found = record;
      draw();
    }, mine.signal);
    if (mine === asking && found && !found.is_final) throw new Error("the process that works it out has ended");
  } catch (error) {
    if (mine !== asking || mine.signal.aborted) return;
    state(error.record?.error ?? "no answer from the desk");
    find("choices").append(make("button", { type: "button", onclick: () => begin(late_min, assume, at) }, "look once more"));
  }
}

function askSilence(text, late_min, at) {
  state("");
  find("choices").replaceChildren(make("p", { class: "headline" }, `${text}. Did it go so?`),
    make("button", { type: "button", onclick: () => begin(late_min, "plan", at) }, "yes, it went so"),
    make("button", { type: "button", onclick: () => begin(late_min, "log", at) }, "no, only what is noted"));
  find("choices").querySelector("button").focus();
}

function draw() {
  const focused = document.activeElement?.id;
  const lost = found.late_min ? `${found.late_min} min lost from ${clock(found.at)}` : `from ${clock(found.at)} on`;
  state(found.is_final ? `${lost}, against revision ${found.follows}` : `${lost}: first answer, still looking…`);
  if (found.nothing_left) {
    find("choices").replaceChildren(make("p", {}, "Nothing is left to shoot."));
    return;
  }
  find("choices").replaceChildren(
    ...(found.collision ? [make("p", {}, `if every minute holds, ${found.collision}`)] : []),
    make("p", { class: "soft" }, KEY), ...found.choices.map(drawChoice));
  if (focused) find(focused)?.focus();
}

function drawChoice(choice) {
  const title = choice.dropped ? `drop ${choice.dropped}` : choice.name;
  if (choice.same_as) {
    return make("section", { class: "choice" }, make("h3", {}, title), make("p", {}, `the same as ${choice.same_as}: the order of revision ${found.follows}, followed on`));
  }
  const facts = [
    `light ${percent(choice.light_kept)}`,
    choice.ends ? `last roll likely ends ${clock(choice.ends)}` : "",
    choice.overtime_min ? `${choice.overtime_min} min overtime` : "",
    choice.left_out.length ? `not on the likely day: ${choice.left_out.join(", ")}` : "",
  ].filter(Boolean).join(" · ");
  return make("section", { class: "choice" }, make("h3", {}, title), make("p", { class: "headline" }, choice.headline),
    drawStrips(found, choice, title), make("p", { class: "soft" }, facts), ...takeButton(choice, title));
}

// The first tap says what the second one does.
function takeButton(choice, title) {
  if (access < ALL) return [];
  const isArmed = armed === choice.name;
  const says = !found.is_final ? "still looking…" : isArmed ? `tap again: ${title} becomes revision ${found.follows + 1}` : `take ${title}`;
  const tap = () => {
    if (!isArmed) { armed = choice.name; draw(); return; }
    take(choice);
  };
  return [make("button", { type: "button", id: `take-${choice.name}`, class: isArmed ? "chief" : "", disabled: !found.is_final, onclick: tap }, says)];
}

async function take(choice) {
  const { at, late_min, assume, follows, known } = found;
  isTaking = true;
  state("saving…");
  for (const button of find("choices").querySelectorAll("button")) button.disabled = true;
  try {
    const { revision } = await send("take", { take: choice.name, at, late_min, assume, follows, known });
    state(`${choice.name} is saved as revision ${revision}: every page follows it`);
    find("choices").replaceChildren();
    found = null;
  } catch (error) {
    armed = "";
    if (found) draw();
    state(error.record?.error ?? "no answer from the desk: look whether the revision was saved before you tap again");
  } finally {
    isTaking = false;
  }
}

// A rest that was planned from what is not true any more is not to be taken.
export function drawRest() {
  if (!found?.is_final || !day().plan) return;
  const isOld = day().plan.revision !== found.follows || day().log.events.length !== found.known;
  if (!isOld || isTaking) return;
  const { late_min: late, assume, at } = found;
  asking = null;
  found = null;
  state("something was noted or saved meanwhile");
  find("choices").replaceChildren(make("button", { type: "button", onclick: () => begin(late, assume, at) }, "look once more"));
}
