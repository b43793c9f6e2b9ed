// While a card is written: remarks and preview follow what is typed.
// Everything works without this file, by the button for the preview.

import { headers } from "./live.js";

const PAUSE_MS = 500;
let waiting = 0;
let asking = new AbortController();

const form = () => document.querySelector("form[data-card]");

/** Puts what the server says of the fields beside them; whatever is being filled in stays. */
function freshen(text) {
  const page = new DOMParser().parseFromString(text, "text/html");
  for (const next of page.querySelectorAll("[data-fresh]")) {
    const old = document.getElementById(next.id);
    if (old && !old.contains(document.activeElement)) old.replaceWith(document.adoptNode(next));
  }
}

/** Asks what is to be said of the card as it is typed now. */
async function look() {
  const here = form();
  if (!here) return;
  asking.abort();
  asking = new AbortController();
  const body = new FormData(here);
  body.set("preview", "yes");
  try {
    const answer = await fetch(here.action, { method: "POST", headers: headers(), body, signal: asking.signal });
    if (answer.ok && form() === here) freshen(await answer.text());
  } catch (error) {
    if (error.name !== "AbortError") console.warn(error);
  }
}

document.addEventListener("input", (event) => {
  if (!event.target.closest("form[data-card]")) return;
  clearTimeout(waiting);
  waiting = setTimeout(look, PAUSE_MS);
});
