// A file that is made for what the page shows: asked for by POST, kept by the browser.

import { dayName, make, trouble } from "/own/desk.js";

// Buttons for the sheets of something; `body` gives what they are made of, null for nothing yet.
export function sheetButtons(path, body) {
  const kinds = [["pdf", "to print (.pdf)"], ["html", "page (.html)"], ["xlsx", "spreadsheet (.xlsx)"], ["csv", "table (.csv)"]];
  return kinds.map(([kind, title]) => make("button", {
    type: "button",
    onclick: (event) => download(`${path}.${kind}`, body(), event.currentTarget),
  }, title));
}

async function download(path, body, button) {
  if (!body || button.disabled) return;
  const title = button.textContent;
  button.disabled = true;
  button.textContent = "being made …";
  try {
    const response = await fetch(`/api/${encodeURIComponent(dayName)}/${path}`, {
      method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body),
    });
    if (!response.ok) throw new Error((await response.json().catch(() => ({}))).error ?? `the desk answered ${response.status}`);
    const name = decodeURIComponent((response.headers.get("content-disposition") ?? "").split("''")[1] ?? "sheet");
    const address = URL.createObjectURL(await response.blob());
    make("a", { href: address, download: name }).click();
    setTimeout(() => URL.revokeObjectURL(address), 60000);
  } catch (error) {
    trouble(error.message);
  } finally {
    button.disabled = false;
    button.textContent = title;
    button.focus();
  }
}
