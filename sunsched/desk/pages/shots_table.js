// The table itself: a cell for each text, faults below it, the row's light beside it, and keys from cell to cell.

import { find, make } from "/own/desk.js";
import { hours, strip, told } from "/own/strip.js";

const WIDE = 640; // px
const LONG = ["description"], NARROW = ["id", "scene", "look", "shoot_min", "weight", "hold", "pin", "lens_mm", "setup_min", "adjust_min", "give_deg", "control", "sun_from"];
const CHOICES = ["size", "sun", "spot", "rig", "match", "cast"];

// `hands` is told what is typed, where the reader is, and which buttons are used.
export function grid(hands) {
  const table = find("table");
  let shape = "", cells = new Map(), marks = new Map(), began = null;

  const place = (uid, column) => `${uid} ${column}`;

  function draw(state, axis) {
    const now = JSON.stringify([state.columns.map((one) => [one.key, one.title]), state.rows.map((row) => [row.uid, row.kind]), axis && [axis.from, axis.to]]);
    if (now !== shape) { shape = now; build(state, axis); }
    for (const row of state.rows) {
      const name = row.cells.id || "this row", item = marks.get(row.uid).parentElement;
      item.querySelector(".more").setAttribute("aria-label", `add a shot below ${name}`);
      item.querySelector(".gone").setAttribute("aria-label", `delete ${name}`);
      for (const column of state.columns) {
        const cell = cells.get(place(row.uid, column.key)), text = row.cells[column.key] ?? "";
        if (cell.value !== text) cell.value = text;
        cell.parentElement.classList.toggle("changed", text !== state.before(row.uid, column.key));
      }
    }
  }

  function build(state, axis) {
    const focus = document.activeElement?.dataset?.cell;
    cells = new Map();
    marks = new Map();
    const [first, ...rest] = state.columns;
    const isWide = window.innerWidth >= WIDE, tools = isWide ? [make("th", { scope: "col" }, "row")] : [];
    const title = (column) => make("th", { scope: "col", class: column === first ? "first" : null }, column.title || column.key,
      column.known && column.known !== column.title ? make("span", { class: "soft" }, ` (${column.known})`) : null);
    table.replaceChildren(
      make("caption", { class: "away" }, "each row is a shot of the list"),
      make("thead", {}, make("tr", {}, ...(first ? [title(first)] : []), make("th", { scope: "col" }, "light", axis ? hours(axis, isWide ? 3 : 6) : null), ...tools, ...rest.map(title), isWide ? null : make("th", { scope: "col" }, "row"))),
      make("tbody", {}, ...state.rows.map((row) => line(row, first, rest, isWide))));
    if (focus && cells.has(focus)) cells.get(focus).focus();
  }

  // What is done with a row stands where it is seen: on a narrow screen that is kept for the texts.
  function line(row, first, rest, isWide) {
    const tools = make("td", {}, make("div", { class: "inline" },
      make("button", { type: "button", class: "more", onclick: () => hands.add(row.uid) }, "+"),
      make("button", { type: "button", class: "gone", onclick: () => hands.remove(row.uid) }, "×")));
    const light = make("td", { class: "strip" });
    marks.set(row.uid, light);
    return make("tr", { class: row.kind === "shot" ? null : row.kind, "data-row": row.uid },
      ...(first ? [cell(row, first, true)] : []), light, isWide ? tools : null, ...rest.map((column) => cell(row, column, false)), isWide ? null : tools);
  }

  function cell(row, column, isFirst) {
    const key = place(row.uid, column.key);
    const common = {
      "data-cell": key, "aria-label": column.title || column.key, dir: "auto", spellcheck: false, autocomplete: "off",
      oninput: (event) => hands.typed(row.uid, column.key, event.target.value),
      onfocus: (event) => { began = event.target.value; hands.at(row.uid, column.key); mark(row.uid); },
      onblur: () => hands.left(),
      onkeydown: (event) => keys(event, row.uid, column.key),
    };
    const isLong = LONG.includes(column.known) || column.known === null;
    const field = isLong ? make("textarea", { ...common, rows: 1 }) : make("input", { ...common, type: "text", ...(CHOICES.includes(column.known) ? { list: `words-${column.known}` } : {}) });
    cells.set(key, field);
    const kind = isLong ? null : NARROW.includes(column.known) ? "narrow" : "middle";
    return make("td", { class: [isFirst ? "first" : "", kind ?? ""].join(" ").trim() || null }, field);
  }

  function mark(uid) {
    for (const row of table.querySelectorAll("tr.at")) row.classList.remove("at");
    table.querySelector(`tr[data-row="${uid}"]`)?.classList.add("at");
  }

  function keys(event, uid, column) {
    const field = event.target;
    if (event.key === "Escape") {
      if (field.value !== began) { field.value = began; hands.typed(uid, column, began); event.preventDefault(); }
      return;
    }
    if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) { event.preventDefault(); hands.add(uid); return; }
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    const isStart = field.selectionStart === 0 && field.selectionEnd === 0, isEnd = field.selectionStart === field.value.length && field.selectionEnd === field.value.length;
    const above = field.value.slice(0, field.selectionStart).includes("\n"), below = field.value.slice(field.selectionEnd).includes("\n");
    const item = field.closest("tr"), td = field.closest("td");
    let to = null;
    if (event.key === "Enter" && !event.shiftKey) to = step(item.nextElementSibling, column) ?? "stay";
    else if (event.key === "Enter" && event.shiftKey && field.tagName === "INPUT") to = step(item.previousElementSibling, column) ?? "stay";
    else if (event.key === "ArrowDown" && !below) to = step(item.nextElementSibling, column);
    else if (event.key === "ArrowUp" && !above) to = step(item.previousElementSibling, column);
    else if (event.key === "ArrowLeft" && isStart) to = beside(td, "previousElementSibling");
    else if (event.key === "ArrowRight" && isEnd) to = beside(td, "nextElementSibling");
    if (!to) return;
    event.preventDefault();
    if (to !== "stay") { to.focus(); to.select(); }
  }

  const step = (row, column) => row ? cells.get(place(row.dataset.row, column)) : null;
  function beside(td, which) {
    for (let one = td[which]; one; one = one[which]) {
      const field = one.querySelector("[data-cell]");
      if (field) return field;
    }
    return null;
  }

  // Faults stand below their cells; gives those that have none.
  function fault(state, found) {
    for (const one of table.querySelectorAll(".fault")) one.remove();
    for (const field of table.querySelectorAll("[aria-invalid]")) { field.removeAttribute("aria-invalid"); field.removeAttribute("aria-describedby"); }
    const rest = [];
    for (const one of found) {
      const uid = one.row === null ? undefined : state.uidOf(one.row);
      const own = cells.get(place(uid, one.column));
      const field = own ?? cells.get(place(uid, state.columns[0]?.key));
      if (!field) { rest.push(one.text); continue; }
      const text = own || !one.column ? one.text : `${one.column}: ${one.text}`;
      let told_ = field.parentElement.querySelector(".fault");
      if (!told_) {
        told_ = make("p", { class: "fault", id: `fault-${field.dataset.cell.replace(/[^\w-]/g, "-")}` });
        field.after(told_);
        field.setAttribute("aria-invalid", "true");
        field.setAttribute("aria-describedby", told_.id);
      }
      told_.textContent = [told_.textContent, text].filter(Boolean).join("\n");
    }
    return rest;
  }

  function light(uid, values, axis) {
    const at = marks.get(uid);
    if (!at) return;
    at.replaceChildren(...(values ? [strip(values, told(values, axis))] : []));
  }

  return { draw, fault, light, focus: (uid, column) => cells.get(place(uid, column))?.focus(), mark };
}
