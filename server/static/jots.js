// A jot is offered what stood on its day as soon as the day is chosen; a button does the same without this.

import { headers } from "./live.js";

const WAIT_MS = 400;
let waiting = 0;

/** Fills the list of activities for the chosen day; what was chosen stays chosen. */
async function offer(form) {
  const button = form.querySelector("[data-offer]");
  const answer = await fetch(button.formAction, { method: "POST", headers: headers(), body: new FormData(form) });
  if (!answer.ok) return;
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  const [next, old] = [page.querySelector("#activity"), form.querySelector("#activity")];
  if (!next || !old) return;
  const chosen = old.value;
  old.replaceChildren(...next.children);
  old.value = chosen;
}

document.addEventListener("change", (event) => {
  const form = event.target.form;
  if (event.target.id !== "day" || !event.target.value || !form?.querySelector("[data-offer]")) return;
  clearTimeout(waiting);
  waiting = setTimeout(() => offer(form), WAIT_MS);
});

/** The button is for those without this file. */
function tidy() {
  for (const button of document.querySelectorAll("[data-offer]")) button.hidden = true;
}

document.addEventListener("lowshelf:shown", tidy);
tidy();
