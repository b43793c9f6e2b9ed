// The clone page without reloading: what is asked for is answered in place. Without this file its forms and
// links do the same, one page after the other.

import { ask } from "./live.js";

/** The address that a form which only asks would lead to. */
function address(form, button) {
  const url = new URL(form.action);
  const asked = new URLSearchParams(new FormData(form, button));
  const name = document.querySelector("#name");
  if (name && name.value !== name.defaultValue) asked.set("name", name.value);
  url.search = asked.toString();
  return url;
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!form.matches("form[data-ask]")) return;
  event.preventDefault();
  ask(address(form, event.submitter));
});

/** Asks again with what a row of fields says now. */
function askFor(form) {
  if (form?.checkValidity()) ask(address(form));
}

document.addEventListener("change", (event) => askFor(event.target.closest("form.row[data-ask]")));

// A field may have been changed before this file came, or be filled in again by the browser.
const changed = [...document.querySelectorAll("form.row[data-ask] input")].find(
  (field) => field.value !== field.defaultValue,
);
askFor(changed?.form);

addEventListener("keydown", (event) => {
  if (event.key === "Escape") document.querySelector("#close-panel")?.click();
});
