// Both versions of a list cell by cell, where somebody else has changed it: theirs, ours, or some of each.

import { find, make } from "/own/desk.js";

const FEW = 4; // cells of a row by which one knows it

// Gives what is chosen once it is: the list as it is now, and which of its cells are to be ours.
export function chooser(done) {
  let now = null, table = null, choices = [];

  find("all-ours").addEventListener("click", () => all("ours"));
  find("all-theirs").addEventListener("click", () => all("theirs"));
  find("take").addEventListener("click", () => {
    if (choices.some((one) => one.chosen === null)) return;
    find("both").hidden = true;
    done(now, rows());
  });

  function show(state, record) {
    table = state;
    now = record.now;
    choices = group(record.differences);
    find("both").hidden = false;
    draw();
    find("both").focus();
  }

  // A cell that both have, or a whole row that only one of them has.
  function group(differences) {
    const found = [], byRow = new Map();
    for (const one of differences) {
      if (one.ours_row !== null && one.theirs_row !== null) {
        const before = table.before(table.uidOf(one.ours_row), one.column);
        found.push({ ...one, kind: "cell", chosen: one.ours === before ? "theirs" : one.theirs === before ? "ours" : null });
        continue;
      }
      const key = `${one.ours_row} ${one.theirs_row}`;
      if (!byRow.has(key)) { byRow.set(key, { ...one, kind: "row", cells: [] }); found.push(byRow.get(key)); }
      byRow.get(key).cells.push(one);
    }
    for (const one of found.filter((other) => other.kind === "row")) {
      const uid = one.ours_row === null ? null : table.uidOf(one.ours_row);
      if (uid !== null) {
        // Only we have it: new here, or deleted there while we may have changed it.
        const line = table.lines.get(uid);
        one.chosen = !line ? "ours" : one.cells.some((cell) => cell.ours !== (line.cells[cell.column] ?? "")) ? null : "theirs";
      } else {
        // Only they have it: new there, or deleted here while they may have changed it.
        const line = [...table.lines.values()].find((other) => (other.cells.id ?? "") === one.shot && !table.rows.some((row) => table.key(row.uid) === other.key));
        one.chosen = !line ? "theirs" : one.cells.some((cell) => cell.theirs !== (line.cells[cell.column] ?? "")) ? null : "ours";
      }
    }
    return found;
  }

  function all(side) {
    for (const one of choices) one.chosen = side;
    draw();
  }

  function draw() {
    const body = choices.map((one, at) => {
      const pick = (side, text) => make("label", { class: "pick" }, make("input", { type: "radio", name: `choice-${at}`, checked: one.chosen === side, onchange: () => { one.chosen = side; ready(); } }), make("span", { dir: "auto" }, text));
      const whole = (side) => [...one.cells.slice(0, FEW).map((cell) => `${cell.title}: ${cell[side]}`), ...(one.cells.length > FEW ? ["…"] : [])].join("\n");
      const texts = one.kind === "cell" ? [one.ours || "(blank)", one.theirs || "(blank)"]
        : one.ours_row !== null ? [`the whole row\n${whole("ours")}`, "(no such row)"] : ["(no such row)", `the whole row\n${whole("theirs")}`];
      return make("tr", {}, make("th", { scope: "row", dir: "auto" }, make("b", {}, one.shot), " ", make("span", { class: "soft" }, one.kind === "cell" ? one.title : "all")),
        make("td", {}, pick("ours", texts[0])), make("td", {}, pick("theirs", texts[1])));
    });
    find("cells").replaceChildren(make("table", {}, make("thead", {}, make("tr", {}, ...["shot", "mine", "theirs, as saved"].map((text) => make("th", { scope: "col" }, text)))), make("tbody", {}, ...body)));
    ready();
  }

  function ready() {
    const open = choices.filter((one) => one.chosen === null).length;
    find("take").disabled = open > 0;
    find("take-why").textContent = open ? `${open === 1 ? "one was" : `${open} were`} changed by both of you: choose there first` : "";
  }

  // The rows of the list as it is now with our choices in them; new rows have no number yet.
  function rows() {
    const found = now.rows.map((row) => ({ key: row.key, cells: { ...row.cells } }));
    const there = (column) => {
      const own = table.columns.find((one) => one.key === column);
      return now.columns.find((one) => (own?.known ? one.known === own.known : one.title === own?.title))?.key ?? (own?.known || column);
    };
    for (const one of choices.filter((other) => other.chosen === "ours")) {
      const at = found.findIndex((row) => row.key === one.theirs_row);
      if (one.kind === "cell") found[at].cells[there(one.column)] = one.ours;
      else if (one.ours_row === null) found.splice(at, 1);
      else found.splice(placeOf(one, found), 0, { key: null, cells: Object.fromEntries(one.cells.map((cell) => [there(cell.column), cell.ours])) });
    }
    return found;
  }

  // Behind the row that stands above it here, where that is there too.
  function placeOf(one, found) {
    const at = table.rows.findIndex((row) => table.key(row.uid) === one.ours_row);
    for (let above = at - 1; above >= 0; above -= 1) {
      const id = table.rows[above].cells.id, place = id ? found.findIndex((row) => row.cells.id === id) : -1;
      if (place >= 0) return place + 1;
    }
    return found.length;
  }

  return { show, hide: () => { find("both").hidden = true; } };
}
