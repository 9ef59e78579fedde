// What stands in words around the picture of the day.
import { clock, find, make } from "/own/desk.js";
import { spokenOf } from "/own/day_picture.js";

// What is kept, which order it is of, and the buttons to choose another and to save.
export function drawLead(view, one, page, { choose, save = null }) {
  const acts = find("acts");
  if (!one) {
    find("kept").textContent = "";
    find("verdict").textContent = view.plan_fault;
    find("which").textContent = page.told;
    acts.replaceChildren();
    return;
  }
  const { plan } = one;
  find("kept").textContent = `${plan.for === "average" ? "on the average day " : "if every minute holds "}${(100 * plan.light_kept).toFixed(1)}% of the light is kept, ${plan.points} points with all costs`;
  find("verdict").textContent = plan.more;
  const changes = view.plan?.changes ?? [];
  find("which").textContent = [one.title, one.name === "saved" && changes.length ? changes.join("; ") : "", page.told].filter(Boolean).join(" · ");
  const buttons = [];
  const orders = Object.values(page.orders);
  if (orders.length > 1) {
    for (const other of orders) {
      buttons.push(make("button", { type: "button", "aria-pressed": String(other === one), textContent: other.title, onclick: () => choose(other.name) }));
    }
  }
  if (save && one.name !== "saved" && one.name !== "hour") {
    const number = (view.plan?.revision ?? 0) + 1, unkept = unkeptOf(view, one);
    // The order itself is in the plan; pins and the like would be gone with the next one.
    const { keep_orders: _, ...said } = one.said;
    const text = unkept.length ? `keep ${unkept.length > 1 ? "these" : "this"} and save as revision ${number}` : `save as revision ${number}`;
    buttons.push(make("button", { type: "button", class: "chief", id: "save", textContent: text, onclick: () => save(one, unkept.length ? said : null) }));
    if (unkept.length) buttons.push(make("span", { class: "soft", id: "unkept", textContent: `a decision then: ${unkept.join("; ")}` }));
  }
  acts.replaceChildren(...buttons);
}

// What an order obeys that is no decision of the day.
const unkeptOf = (view, one) => one.price?.decision.filter((text) => !view.decisions.includes(text) && !text.endsWith("stay in this order")) ?? [];

// A plan that was saved before the newest events does not know them.
export function drawBehind(host, view) {
  const later = view.plan ? view.log.events.slice(view.plan.knows_events) : [];
  host.hidden = !later.length;
  if (host.hidden) return;
  const over = new Set([...view.log.made, ...view.log.cut]);
  if (view.shots.every((shot) => over.has(shot.id))) {
    host.replaceChildren("All is shot. ", make("a", { href: "sheets", textContent: "Planned and made stand on the sheets." }));
    return;
  }
  const behind = later.filter((event) => event.holds).length; // neither what was taken back nor the taking back
  const text = !behind ? "What was noted was taken back since this plan was saved. " : behind === 1 ? "One event was noted since this plan was saved: it does not know it. " : `${behind} events were noted since this plan was saved: it does not know them. `;
  host.replaceChildren(text, make("a", { href: "set", textContent: "On set the rest of the day is planned from now." }));
}

// All that is known of the shot that was picked.
export function drawAbout(host, view, one, id) {
  const row = one?.plan.rows.find((other) => other.id === id) ?? one?.plan.left_out.find((other) => other.id === id);
  if (!row) { host.replaceChildren(); return; }
  const texts = [];
  if (row.likely) texts.push(`starts from ${clock(row.likely.from, view)} to ${clock(row.likely.to, view)} on eight days of ten`);
  if (row.not_before) texts.push(`not before ${clock(row.not_before, view)}`);
  if (row.begin_by) texts.push(`left out if its changeover has not begun by ${clock(row.begin_by, view)}`);
  if (row.last_start) texts.push(`last start ${clock(row.last_start, view)}`);
  if (row.why) texts.push(row.why);
  texts.push(...(row.cautions ?? []));
  host.replaceChildren(make("h2", {}, make("bdi", { textContent: spokenOf(view, row) })), ...texts.map((text) => make("p", { textContent: text })));
}

export function drawNotes(host, view, one) {
  const notes = [...(one?.plan.notes ?? []), ...view.warnings];
  host.replaceChildren(...(notes.length ? [make("h2", { textContent: "Notes" }), make("ul", {}, notes.map((text) => make("li", { textContent: text })))] : []));
}
