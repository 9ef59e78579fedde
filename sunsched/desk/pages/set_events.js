// What is noted, the newest first: taps that wait, taps that were refused, the last events.
import { clock, find, make, NOTE, access } from "/own/desk.js";
import { add, again, drop, troubleOf, waiting } from "/own/set_taps.js";
import { moment } from "/own/set_time.js";

const SHOWN = 6;
let shown = "";

export function tapText(tap) {
  const { event, subject, value } = tap;
  if (event === "rolled") return `${subject} rolls`;
  if (event === "done" || event === "cut") return `${subject} ${event}`;
  if (event === "more") return `${subject} takes ${value} min more`;
  if (event === "late") return `${value} min lost`;
  if (event === "cloud") return `cloud cover ${Math.round(100 * Number(value))}%${tap.until ? ` until ${clock(tap.until)}` : ""}`;
  if (event === "meal") return "meal begins";
  if (event === "note") return `note: ${subject}`;
  if (event === "undo") return `event ${value} taken back`;
  if (event === "as-planned") return "all went as planned";
  return `${subject} ${event}`;
}

// Give what takes back the newest event, or the newest tap that waits; null for nothing.
export function undoOf(view) {
  const kept = waiting().filter((tap) => !tap.refused);
  const fresh = kept.filter((tap) => !tap.again).at(-1);
  if (fresh && fresh === kept.at(-1)) return () => drop(fresh.uid);
  if (kept.length) return null; // it is on its way
  const last = view.log.events.filter((event) => event.holds).at(-1);
  if (!last) return null;
  return () => add({ event: "undo", value: String(last.number), at: moment(), seen: view.log.events.length });
}

export function drawEvents(view) {
  const taps = [...waiting()].reverse();
  const events = view.log.events.filter((event) => event.kind !== "undo").slice(-SHOWN).reverse();
  const undo = access >= NOTE ? undoOf(view) : null;
  const refused = taps.filter((tap) => tap.refused), kept = taps.filter((tap) => !tap.refused);
  const mark = JSON.stringify([refused, kept, events, undo !== null, troubleOf()]);
  if (mark === shown) return; // what is being typed stays, and a screen reader stays quiet
  shown = mark;
  const focused = document.activeElement?.id;
  let isNewest = true;
  const undoButton = () => {
    if (!isNewest) return null;
    isNewest = false;
    return undo ? make("button", { type: "button", id: "undo", onclick: undo }, "undo") : null;
  };
  const none = !refused.length && !kept.length && !events.length;
  find("events").replaceChildren(
    ...refused.map(drawRefused),
    ...kept.map((tap) => make("li", { class: "waiting" },
      make("span", { class: "at" }, clock(tap.at)), make("bdi", { class: "what" }, tapText(tap)), undoButton())),
    ...events.map((event) => make("li", { class: event.holds ? "" : "gone" },
      make("span", { class: "at" }, clock(event.at)),
      make("bdi", { class: "what" }, event.text, event.holds ? null : make("span", { class: "soft" }, " (taken back)")),
      event.holds ? undoButton() : null)),
    ...(none ? [make("li", {}, "nothing yet")] : []),
  );
  const count = kept.length === 1 ? "1 tap waits on this phone" : `${kept.length} taps wait on this phone`;
  find("told").textContent = kept.length && troubleOf() ? `${troubleOf()}; ${count}: leave this page open` : "";
  if (focused) find(focused)?.focus();
}

function drawRefused(tap) {
  const time = make("button", { type: "button", onclick: () => again(tap.uid, { at: moment() }) }, `note at ${clock(moment())}`);
  return make("li", { class: "refused" },
    make("span", { class: "at" }, clock(tap.at)), make("bdi", { class: "what" }, tapText(tap)),
    make("span", { class: "why", role: "alert" }, `not noted: ${tap.refused}`),
    tap.isEarly ? make("button", { type: "button", onclick: () => again(tap.uid, { forgotten: true }) }, "put in its place") : null,
    time,
    make("button", { type: "button", onclick: () => drop(tap.uid) }, "drop"));
}
