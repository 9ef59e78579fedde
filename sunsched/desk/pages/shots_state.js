// The table as it is edited: rows that keep their own number, steps to undo, and what differs from the file.

let numbers = 0;

// `base` is the list as it was read; rows here are { uid, kind, cells }, never changed in place.
export class Table {
  constructor(listed) { this.past = []; this.next = []; this.take(listed); }

  // Show a list as the file has it, with nothing to undo.
  take(listed) {
    this.base = listed;
    this.columns = listed.columns;
    this.rows = listed.rows.map((row) => ({ uid: numbers += 1, kind: row.kind, cells: row.cells }));
    this.lines = new Map(listed.rows.map((row, at) => [this.rows[at].uid, row]));
    this.past = [];
    this.next = [];
    this.last = "";
  }

  // The list was saved as it stands here: rows that stayed blank are none.
  saved(listed) {
    const kept = this.rows.filter((row) => this.lines.has(row.uid) || Object.values(row.cells).some((text) => text.trim()));
    if (kept.length !== listed.rows.length) { this.take(listed); return; }
    this.base = listed;
    this.columns = listed.columns;
    this.lines = new Map(kept.map((row, at) => [row.uid, listed.rows[at]]));
    this.rows = kept.map((row, at) => ({ ...row, kind: listed.rows[at].kind, cells: listed.rows[at].cells }));
    this.last = "";
  }

  key(uid) { return this.lines.get(uid)?.key ?? `new-${uid}`; }
  uidOf(key) { return this.rows.find((row) => this.key(row.uid) === key)?.uid; }
  row(uid) { return this.rows.find((row) => row.uid === uid); }
  text(uid, column) { return this.row(uid)?.cells[column] ?? ""; }
  before(uid, column) { return this.lines.get(uid)?.cells[column] ?? ""; }

  // One step; steps with the same mark that follow each other are one.
  step(rows, mark = "") {
    if (!mark || mark !== this.last) this.past.push(this.rows);
    this.last = mark;
    this.next = [];
    this.rows = rows;
  }

  set(uid, column, text, mark) {
    if (this.text(uid, column) === text) return;
    this.step(this.rows.map((row) => row.uid === uid ? { ...row, cells: { ...row.cells, [column]: text } } : row), mark);
  }

  add(after, cells = {}) {
    const row = { uid: numbers += 1, kind: "shot", cells }, at = this.rows.findIndex((one) => one.uid === after);
    this.step(at < 0 ? [...this.rows, row] : [...this.rows.slice(0, at + 1), row, ...this.rows.slice(at + 1)]);
    return row.uid;
  }

  // One step to other texts: rows by their keys in the file, new ones without.
  put(found) {
    const byKey = new Map(this.rows.map((row) => [this.key(row.uid), row]));
    for (const name of new Set(found.flatMap((one) => Object.keys(one.cells)))) {
      if (this.base.more.includes(name) && !this.columns.some((one) => one.key === name)) this.addColumn(name);
    }
    this.step(found.map((one) => one.key ? { ...byKey.get(one.key), cells: one.cells } : { uid: numbers += 1, kind: "shot", cells: one.cells }));
  }

  remove(uid) { this.step(this.rows.filter((row) => row.uid !== uid)); }

  undo() { this.#back(this.past, this.next); }
  redo() { this.#back(this.next, this.past); }
  #back(from, to) {
    if (!from.length) return;
    to.push(this.rows);
    this.rows = from.pop();
    this.last = "";
  }

  addColumn(name) { this.columns = [...this.columns, { key: name, title: name, known: name, at: 10000 }]; }

  // What has to change in the file for it to be as the table is.
  edits() {
    const found = [], here = new Set(this.rows.map((row) => row.uid));
    for (const [uid, line] of this.lines) if (!here.has(uid)) found.push({ kind: "delete", row: line.key });
    let after = null;
    for (const row of this.rows) {
      const line = this.lines.get(row.uid), key = this.key(row.uid);
      const cells = Object.entries(row.cells);
      if (line) {
        for (const column of new Set([...Object.keys(row.cells), ...Object.keys(line.cells)])) {
          const text = row.cells[column] ?? "";
          if (text !== (line.cells[column] ?? "")) found.push({ kind: "set", row: key, column, text });
        }
      } else found.push({ kind: "add", row: key, after, cells: Object.fromEntries(cells.filter(([, text]) => text)) });
      after = key;
    }
    return found;
  }

  // The table as it is shown, for the server to put beside the file.
  shown() {
    return {
      file: this.base.file, columns: this.columns,
      rows: this.rows.map((row) => ({ key: this.key(row.uid), kind: row.kind, cells: Object.fromEntries(Object.entries(row.cells).filter(([, text]) => text)) })),
    };
  }
}
