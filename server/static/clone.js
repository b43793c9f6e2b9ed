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

document.addEventListener("change", (event) => {
  const form = event.target.closest("form.row[data-ask]");
  if (form?.checkValidity()) ask(address(form));
});

addEventListener("keydown", (event) => {
  if (event.key === "Escape") document.querySelector("#close-panel")?.click();
});
