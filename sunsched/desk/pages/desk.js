// What all pages of a day share: asking the server, following its news, and times on the day's clock.

export const dayName = document.body.dataset.day;
export const access = Number(document.body.dataset.access);
export const SEE = 1, NOTE = 2, ALL = 3;
const api = `/api/${encodeURIComponent(dayName)}`;

export const find = (id) => document.getElementById(id);

// An element with its properties and children; texts are never read as HTML.
export function make(tag, properties = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(properties)) {
    if (value === null || value === undefined || value === false) continue;
    if (name === "class") element.className = value;
    else if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else if (name in element && name !== "list" && name !== "form") element[name] = value;
    else element.setAttribute(name, value);
  }
  element.append(...children.flat().filter((child) => child !== null && child !== undefined));
  return element;
}

// Trouble is told over whatever page it is, until the next thing succeeds or a while has passed.
let troubled = 0;
export function trouble(text) {
  const told = find("trouble");
  clearTimeout(troubled);
  told.textContent = text;
  told.hidden = !text;
  if (text) troubled = setTimeout(() => { told.hidden = true; }, 12000);
}

export class Refused extends Error {
  constructor(status, record) {
    super(record.error ?? `the desk answered ${status}`);
    this.status = status;
    this.record = record;
  }
}

async function read(response) {
  const record = await response.json().catch(() => ({}));
  if (!response.ok) throw new Refused(response.status, record);
  return record;
}

export async function get(path) {
  return read(await fetch(`${api}/${path}`));
}

export async function send(path, body = {}, signal = undefined) {
  return read(await fetch(`${api}/${path}`, {
    method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body), signal,
  }));
}

// Ask what takes seconds: `told` is called with each answer, each better than the one before.
// Aborting the signal ends the work.
export async function ask(kind, body, told, signal) {
  const response = await fetch(`${api}/slow/${kind}`, {
    method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body), signal,
  });
  if (!response.ok) await read(response);
  const reader = response.body.pipeThrough(new TextDecoderStream()).getReader();
  let rest = "";
  for (;;) {
    const { value, done } = await reader.read();
    if (done) return;
    const lines = (rest + value).split("\n");
    rest = lines.pop();
    for (const line of lines.filter(Boolean)) {
      const record = JSON.parse(line);
      if (record.error) throw new Refused(409, record);
      told(record);
    }
  }
}

// The day: asked for once, and again whenever its files have changed.

let shown = null;
let ahead_ms = 0; // by how much the desk's clock is ahead of this device's
export const day = () => shown;
export const now = () => Date.now() + ahead_ms;

const AGAIN_MS = 3000; // after which what went wrong is tried once more
export const ANEW = "the desk was started anew: open it by its new link";

// Call `draw` with the day now and after each change.
export function follow(draw) {
  // On a phone the links are one row that is moved: the page that is open is seen in it.
  document.querySelector("nav [aria-current]")?.scrollIntoView({ block: "nearest", inline: "center" });
  let asking = false, again = false;
  async function refresh() {
    if (asking) { again = true; return; }
    asking = true;
    try {
      const before = Date.now();
      const record = await get("view");
      ahead_ms = record.now - (before + Date.now()) / 2;
      shown = record;
      head(record);
      draw(record);
      state("");
    } catch (error) {
      version = null; // what was told is not shown yet
      if (error.status === 401) state(ANEW);
      else if (error instanceof Refused) trouble(error.message);
      else state("no connection to the desk");
    } finally {
      asking = false;
    }
    if (again) { again = false; await refresh(); }
  }
  let version = null;
  function listen() {
    const news = new EventSource(`${api}/news`);
    news.addEventListener("change", (event) => {
      const found = JSON.parse(event.data).version;
      const isNew = found !== version;
      version = found;
      if (isNew) refresh();
    });
    news.addEventListener("open", () => state(""));
    news.addEventListener("error", () => {
      if (find("link-state").textContent !== ANEW) state("no connection to the desk");
      // A browser comes back by itself after a lost connection, and never after an answer that is an error.
      if (news.readyState === EventSource.CLOSED) setTimeout(async () => { await refresh(); listen(); }, AGAIN_MS);
    });
  }
  listen();
  return refresh;
}

function state(text) {
  find("link-state").textContent = text;
}

function head(record) {
  const faults = find("faults");
  faults.hidden = !record.faults.length;
  faults.textContent = record.faults.length ? record.text : "";
  find("main").hidden = record.faults.length > 0;
  if (record.faults.length) return;
  find("title").textContent = record.title;
  document.title = `${record.title}, ${record.date}`;
  find("where").textContent = `${record.place}, ${record.weekday} ${record.date}, local time (${record.timezone})`;
  tick();
}

function tick() {
  if (!shown?.timezone) return;
  const [time, apart] = onClock(now(), shown);
  // A rehearsal: days away, only the time of day says anything.
  find("clock").textContent = Math.abs(apart) > 1 ? `now ${time}, ${Math.abs(apart)} days ${apart < 0 ? "before" : "after"} this day` : `now ${clock(now())}`;
}
setInterval(tick, 5000);

// Times on the clock of the place.

let clockOf = { zone: null, format: null };
function format(zone) {
  if (clockOf.zone !== zone) {
    try {
      const made = new Intl.DateTimeFormat("en-GB", {
        timeZone: zone, year: "numeric", month: "2-digit", day: "2-digit", hour: "2-digit", minute: "2-digit", hourCycle: "h23",
      });
      clockOf = { zone, format: made };
    } catch {
      clockOf = { zone, format: null }; // a browser that does not know the zone
    }
  }
  return clockOf.format;
}

// A field for a time of day, written as the commands read it whatever the browser's language is; a
// thumb may leave the colon out.
export const timeField = (more) => make("input", {
  type: "text", inputMode: "numeric", autocomplete: "off", maxLength: 5, size: 6, required: true, placeholder: "HH:MM",
  pattern: "([01]?[0-9]|2[0-3])[:.]?[0-5][0-9]", title: "a time of day, such as 06:30", ...more,
});

// Give what is written in such a field as `HH:MM`; null where it is no time.
export function timeIn(field) {
  const found = /^([01]?\d|2[0-3])[:.]?([0-5]\d)$/.exec(field.value.trim());
  return found && `${found[1].padStart(2, "0")}:${found[2]}`;
}

// Give a moment as `HH:MM`, with `+1` or `-1` on the next or the last date.
export function clock(ms, record = shown) {
  const [time, apart] = onClock(ms, record);
  return time + (apart ? (apart > 0 ? `+${apart}` : `${apart}`) : "");
}

// The time of day, and how many dates it is from the day's.
function onClock(ms, record) {
  const at = Math.round(ms / 60000) * 60000;
  const made = format(record.timezone);
  let date, time;
  if (made) {
    const part = Object.fromEntries(made.formatToParts(at).map((one) => [one.type, one.value]));
    date = `${part.year}-${part.month}-${part.day}`;
    time = `${part.hour}:${part.minute}`;
  } else {
    const text = new Date(at + record.offset_min * 60000).toISOString();
    date = text.slice(0, 10);
    time = text.slice(11, 16);
  }
  const apart = Math.round((Date.parse(date) - Date.parse(record.date)) / 86400000);
  return [time, apart];
}

export const percent = (share) => (share === null || share === undefined ? "–" : share > 0.995 && share < 1 ? ">99%" : `${Math.round(100 * share)}%`);
