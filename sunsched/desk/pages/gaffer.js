// What the sun does to each setup of the saved plan, line by line; asked again when the day changes.

import { clock, find, follow, get, make, trouble } from "/own/desk.js";

let shown = null;

follow(async () => {
  try {
    shown = await get("gaffer");
  } catch (error) {
    trouble(error.message);
    return;
  }
  choices();
  draw();
});

find("pick").addEventListener("change", draw);

function choices() {
  const pick = find("pick"), before = pick.value;
  const ids = (shown.setups ?? []).map((setup) => setup.id);
  pick.replaceChildren(
    make("option", { value: "" }, "all shots"),
    ...ids.map((id) => make("option", { value: id }, id)),
  );
  pick.value = ids.includes(before) ? before : "";
}

function draw() {
  const has = Boolean(shown.setups);
  find("tools").hidden = !has;
  find("for-all").hidden = !has;
  find("of").textContent = has
    ? `of revision ${shown.revision}`
    : "No plan is saved yet: save one on the page of the day, and each shot has its time.";
  const wanted = find("pick").value;
  const opened = new Set([...document.querySelectorAll("#setups details[open]")].map((one) => one.dataset.id));
  const setups = (shown.setups ?? []).filter((setup) => !wanted || setup.id === wanted);
  find("setups").replaceChildren(...setups.map((setup) => part(setup, opened.has(setup.id) || Boolean(wanted))));
  find("cautions").replaceChildren(...shown.cautions.map((line) => make("li", {}, `${line.name}: ${line.text}`)));
}

function part(setup, isOpen) {
  const times = [setup.roll_start, setup.roll_end].map((one) => clock(Date.parse(one)));
  const head = make("summary", {},
    make("b", {}, `${times.join("–")} `), make("b", {}, make("bdi", {}, setup.id)), ` ${setup.spot}, look ${Math.round(setup.look_deg)}°`);
  const sections = setup.sections.map((section) => [
    make("h3", {}, section.title),
    make("dl", {}, ...section.lines.flatMap((line) => [make("dt", {}, line.name), make("dd", {}, line.text)])),
  ]);
  const details = make("details", { open: isOpen }, head, ...sections.flat());
  details.dataset.id = setup.id;
  return details;
}
